using System.Diagnostics;
using System.Reflection;
using Grpc.Core;
using Microsoft.Extensions.Logging;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Remote.Connections;
using Reliability.Engine.Remote.Models;
using Reliability.Engine.Remote.Processes;
using Reliability.PlugIn.V1;

namespace Reliability.Engine.Remote;

/// <summary>
/// A plug-in in a process of its own, shown as one of this process: its families and estimators call it over gRPC on the calling thread.
/// It is started or connected to by <see cref="Start"/>, watched, and started again when it ended. Safe to use from many threads.
/// </summary>
/// <remarks>
/// What the plug-in does wrong becomes a <see cref="LifeModelFailedException"/> of the call that met it. Numbers that come back are
/// checked for how many there are; whether they make sense is checked by whoever uses the families, as for any plug-in.
/// </remarks>
public sealed partial class RemotePlugIn : ILifeModelPlugIn, IDisposable
{
    private static readonly TimeSpan Look = TimeSpan.FromMilliseconds(50), LookForSocket = TimeSpan.FromMilliseconds(20);
    private static readonly TimeSpan Probe = TimeSpan.FromSeconds(2);

    // Callers that find the plug-in between two lives wait for the next one as often as this.
    private const int MostSessions = 3;

    private readonly RemotePlugInSettings _settings;
    private readonly ILogger _logger;
    private readonly ManualResetEventSlim _stopping = new();
    private readonly Thread _supervisor;
    private readonly object _changed = new();
    private PlugInState _state = new(null, null, 0);
    private PlugInModels _models = PlugInModels.None;

    // Of the supervising thread alone.
    private readonly BackOff _backOff = new();
    private PlugInModels _announced = PlugInModels.None;
    private int _starts;
    private long _startTook;
    private long _calls;

    /// <summary>Makes it, without starting anything.</summary>
    /// <param name="settings">How it is reached; checked by <see cref="RemotePlugInRules"/>.</param>
    /// <param name="logger">Told of starts and ends, and of what the plug-in writes.</param>
    /// <exception cref="ArgumentException">The settings break a rule.</exception>
    public RemotePlugIn(RemotePlugInSettings settings, ILogger logger)
    {
        ArgumentNullException.ThrowIfNull(settings);
        if (RemotePlugInRules.Broken([settings]).FirstOrDefault() is { Field: not null } fault)
            throw new ArgumentException($"{fault.Field} {fault.Rule}", nameof(settings));
        (_settings, _logger) = (settings, new QuietLogger(logger));

        // A thread of its own: the system ends the process with the thread that started it, so it must not be one of a pool.
        _supervisor = new Thread(Supervise) { IsBackground = true, Name = "plug-in " + settings.Id };
    }

    /// <inheritdoc/>
    public string Id => _settings.Id;

    /// <summary>Version that the plug-in says; empty before it answered for the first time.</summary>
    public string Version => Volatile.Read(ref _models).Version;

    /// <summary>Publisher that the plug-in says; empty before it answered for the first time.</summary>
    public string Publisher => Volatile.Read(ref _models).Publisher;

    /// <summary>Families as it last described them; none before it answered for the first time.</summary>
    public IReadOnlyList<PublishedFamily> Families => Volatile.Read(ref _models).Families;

    /// <summary>Estimators as it last described them; none before it answered for the first time.</summary>
    public IReadOnlyList<ILifeModel> Estimators => Volatile.Read(ref _models).Estimators;

    /// <summary>How it stands now.</summary>
    public RemotePlugInStatus Status
    {
        get
        {
            var state = Volatile.Read(ref _state);
            return new(Id, state.Usable is not null, state.Usable is null ? Told(state) : null, state.Usable is null && state.Trouble is null,
                Volatile.Read(ref _starts));
        }
    }

    /// <summary>Raised, on its supervising thread, when families or estimators have changed: at first, and when a new version came.</summary>
    public event EventHandler? ModelsChanged;

    /// <summary>Calls at one time.</summary>
    internal int MostCallers => _settings.ConcurrentCalls;

    /// <summary>Calls that were made so far.</summary>
    internal long Calls => Interlocked.Read(ref _calls);

    /// <summary>Process id of the plug-in; null when it was not started here or is not running.</summary>
    internal int? ProcessId { get; private set; }

    /// <summary>Begins to start it, or to connect to it, and goes on until disposed of.</summary>
    public void Start() => _supervisor.Start();

    /// <summary>Waits until it answers.</summary>
    /// <param name="patience">Longest wait.</param>
    /// <returns>Whether it does.</returns>
    public bool WaitUntilAvailable(TimeSpan patience)
    {
        var start = Stopwatch.GetTimestamp();
        lock (_changed)
        {
            while (_state.Usable is null)
            {
                var left = patience - Stopwatch.GetElapsedTime(start);
                if (left <= TimeSpan.Zero || !Monitor.Wait(_changed, left))
                    return _state.Usable is not null;
            }
        }

        return true;
    }

    /// <summary>Ends it and all it started; callers get an error.</summary>
    public void Dispose()
    {
        _stopping.Set();
        if (_supervisor.IsAlive)
            _supervisor.Join();
    }

    /// <summary>Asks the plug-in something, on this thread.</summary>
    /// <param name="model">Id of the life model, for errors.</param>
    /// <param name="ask">The call.</param>
    /// <param name="cancellation">Ends it.</param>
    /// <exception cref="LifeModelFailedException">It gave no answer.</exception>
    /// <exception cref="OperationCanceledException">The token was cancelled.</exception>
    internal T Call<T>(
        string model, Func<LifeModelPlugInService.LifeModelPlugInServiceClient, CallOptions, T> ask, CancellationToken cancellation)
    {
        for (var sessions = 0; ; sessions++)
        {
            var session = Session(model, sessions, cancellation);
            if (!session.TryEnter(cancellation))
                continue;
            Interlocked.Increment(ref _calls);
            try
            {
                var answer = ask(
                    session.Client, new CallOptions(deadline: DateTime.UtcNow + _settings.Deadline, cancellationToken: cancellation));
                session.HasAnswered = true;
                return answer;
            }
            catch (Exception failure) when (cancellation.IsCancellationRequested && failure is RpcException or OperationCanceledException)
            {
                MakeSureItStopped(session);
                throw new OperationCanceledException(cancellation);
            }
            catch (RpcException failure)
            {
                LogCall(Id, model, failure.StatusCode, ErrorOutput.Masked(Shortened(failure.Status.Detail)));
                throw new LifeModelFailedException(model, session.Blame(failure, _settings.Deadline) + ".", failure);
            }
            catch (ObjectDisposedException)
            {
                throw new LifeModelFailedException(model, (session.Reason ?? Reasons.Stopping) + ".");
            }
            finally
            {
                session.Leave();
            }
        }
    }

    /// <summary>The session of now, or the next one if that is not long to come.</summary>
    private RemoteSession Session(string model, int sessionsBefore, CancellationToken cancellation)
    {
        var start = Stopwatch.GetTimestamp();

        // What took a second to start will hardly take ten the next time.
        var patience = _settings.Deadline + 2 * TimeSpan.FromTicks(Volatile.Read(ref _startTook));
        while (true)
        {
            cancellation.ThrowIfCancellationRequested();
            PlugInState state;
            lock (_changed)
            {
                state = _state;
                var left = patience - Stopwatch.GetElapsedTime(start);
                var isSoon = sessionsBefore < MostSessions && left > TimeSpan.Zero && !_stopping.IsSet && UntilNextTry(state) < left;
                if (state.Usable is null && isSoon)
                {
                    Monitor.Wait(_changed, Look);
                    continue;
                }
            }

            return state.Usable ?? throw new LifeModelFailedException(model, Told(state));
        }
    }

    /// <summary>A plug-in that goes on with what nobody waits for would make the next caller wait.</summary>
    private static void MakeSureItStopped(RemoteSession session)
    {
        if (session.Reason is not null)
            return;
        try
        {
            session.Client.Describe(Question(), deadline: DateTime.UtcNow + Probe);
        }
        catch (RpcException)
        {
            session.Condemn(Reasons.IgnoredCancellation, byCaller: true);
        }
        catch (ObjectDisposedException)
        {
            // It has ended.
        }
    }

    private void Supervise()
    {
        while (!_stopping.IsSet)
        {
            Interlocked.Increment(ref _starts);
            var served = 0L;
            string reason;
            try
            {
                reason = _settings.Command is null ? Connected(ref served) : Started(ref served);
            }
            catch (Exception failure)
            {
                // Whatever it is: on a thread of its own it would end the host.
                LogFailed(failure, Id);
                reason = served == 0 ? "it could not be started" : "the host failed in looking after it";
            }

            if (_stopping.IsSet)
                break;
            var wait = _backOff.After(served == 0 ? TimeSpan.Zero : Stopwatch.GetElapsedTime(served));
            LogEnded(Id, reason, wait);
            Become(new(null, reason, Stopwatch.GetTimestamp() + (long)(wait.TotalSeconds * Stopwatch.Frequency)));
            if (!_stopping.Wait(wait))
                Become(new(null, reason, 0));
        }

        Become(new(null, Reasons.Stopping, 0));
    }

    private string Started(ref long served)
    {
        using var folder = SocketFolder.Make();
        using var process = PlugInProcess.Start(_settings, folder.Socket, _logger);
        ProcessId = process.Id;
        using var session = new RemoteSession(new Uri("unix:" + folder.Socket), _settings.ConcurrentCalls);
        var reason = Reasons.Stopping;
        try
        {
            reason = Attended(session, () => process.Check(), () => File.Exists(folder.Socket), process.GiveWay, process.Means, ref served);
            if (_stopping.IsSet)
                process.Stop();
            return reason;
        }
        finally
        {
            ProcessId = null;
            Become(new(null, reason, Stopwatch.GetTimestamp()));
            session.End(reason);
            LogWritten(Id, process.Written);
        }
    }

    private string Connected(ref long served)
    {
        using var session = new RemoteSession(_settings.Address!, _settings.ConcurrentCalls);
        var reason = Reasons.Stopping;
        try
        {
            return reason = Attended(session, () => null, () => true, () => { }, "limits are its operator's", ref served);
        }
        finally
        {
            Become(new(null, reason, Stopwatch.GetTimestamp()));
            session.End(reason);
        }
    }

    /// <summary>A session from its first question to its end.</summary>
    /// <returns>Why it ended.</returns>
    private string Attended(RemoteSession session, Func<string?> check, Func<bool> canAnswer, Action ready, string means, ref long served)
    {
        var start = Stopwatch.GetTimestamp();
        PlugInModels? models = null;
        while (models is null)
        {
            if (check() is { } ended)
                return ended;
            if (_stopping.IsSet)
                return Reasons.Stopping;
            var left = _settings.StartDeadline - Stopwatch.GetElapsedTime(start);
            if (left <= TimeSpan.Zero)
                return Reasons.NotReady(_settings.StartDeadline);
            if (!canAnswer())
            {
                _stopping.Wait(LookForSocket);
                continue;
            }

            using var described = session.Client.DescribeAsync(Question(), deadline: DateTime.UtcNow + left);
            try
            {
                // Looked after meanwhile: it may allocate without bound instead of answering.
                while (!((IAsyncResult)described.ResponseAsync).AsyncWaitHandle.WaitOne(Look))
                {
                    if (check() is { } endedMeanwhile)
                        return endedMeanwhile;
                    if (_stopping.IsSet)
                        return Reasons.Stopping;
                }

                models = PlugInModels.Of(described.ResponseAsync.GetAwaiter().GetResult(), this);
            }
            catch (DescriptionException wrong)
            {
                return "what it says of itself is wrong: " + wrong.Message;
            }
            catch (RpcException failure) when (failure.StatusCode == StatusCode.Unavailable && _settings.Command is not null)
            {
                // The socket is there before it listens.
                _stopping.Wait(LookForSocket);
            }
            catch (RpcException failure)
            {
                return failure.StatusCode switch
                {
                    StatusCode.DeadlineExceeded => Reasons.NotReady(_settings.StartDeadline),
                    StatusCode.Unavailable => "it cannot be reached at its address",
                    StatusCode.Unimplemented => "what listens there is no plug-in of this contract",
                    _ => $"asked what it is, it answered with the gRPC status {failure.StatusCode}",
                };
            }
        }

        served = Stopwatch.GetTimestamp();
        if (!models.IsSame(_models))
            Volatile.Write(ref _models, models);
        ready();
        LogReady(Id, Version, Families.Count, Estimators.Count, means);
        Volatile.Write(ref _startTook, Stopwatch.GetElapsedTime(start, served).Ticks);
        Become(new(session, null, 0));
        if (!models.IsSame(_announced))
        {
            // A listener that fails is told again by the next session.
            ModelsChanged?.Invoke(this, EventArgs.Empty);
            _announced = models;
        }

        WaitHandle[] wakes = [_stopping.WaitHandle, session.Condemned];
        while (true)
        {
            var woken = WaitHandle.WaitAny(wakes, Look);
            if (check() is { } ended)
                return ended;
            if (woken == 0)
                return Reasons.Stopping;
            if (woken == 1)
            {
                if (session is { IsEndedByCaller: true, HasAnswered: true })
                    _backOff.Restart();
                return session.Reason!;
            }
        }
    }

    private void Become(PlugInState state)
    {
        lock (_changed)
        {
            Volatile.Write(ref _state, state);
            Monitor.PulseAll(_changed);
        }
    }

    private static string Told(PlugInState state) =>
        state.Trouble is { } reason ? Reasons.Down(reason, UntilNextTry(state)) : "its plug-in is being started.";

    private static TimeSpan UntilNextTry(PlugInState state) => state.NextTry == 0 || state.NextTry <= Stopwatch.GetTimestamp()
        ? TimeSpan.Zero
        : Stopwatch.GetElapsedTime(Stopwatch.GetTimestamp(), state.NextTry);

    private static DescribeRequest Question() =>
        new() { HostVersion = typeof(RemotePlugIn).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "" };

    private static string Shortened(string text) => text.Length <= 200 ? text : text[..200];

    [LoggerMessage(2, LogLevel.Information, "Plug-in {PlugIn} {Version} answers, with {Families} families and {Estimators} estimators; {Means}.")]
    private partial void LogReady(string plugIn, string version, int families, int estimators, string means);

    [LoggerMessage(3, LogLevel.Warning, "Plug-in {PlugIn} is not running: {Reason}. It is tried again in {Wait}.")]
    private partial void LogEnded(string plugIn, string reason, TimeSpan wait);

    [LoggerMessage(4, LogLevel.Warning, "Plug-in {PlugIn} could not be started or looked after.")]
    private partial void LogFailed(Exception exception, string plugIn);

    [LoggerMessage(5, LogLevel.Warning, "Plug-in {PlugIn}: a call of life model {Model} failed with {Status}: {Detail}")]
    private partial void LogCall(string plugIn, string model, StatusCode status, string detail);

    [LoggerMessage(6, LogLevel.Debug, "Plug-in {PlugIn} had written {Characters} characters to standard output and error.")]
    private partial void LogWritten(string plugIn, long characters);
}
