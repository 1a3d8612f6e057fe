using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;

namespace Reliability.EndToEnd.Faults.Cuts;

/// <summary>A bad network on loopback: it passes bytes on, and cuts, delays, swallows and refuses as chance has it.</summary>
internal sealed class CuttingProxy : IAsyncDisposable
{
    private const int FewestBytes = 1, SmallPiece = 2_000;

    private static readonly TimeSpan RefusedFor = TimeSpan.FromMilliseconds(300), LongestDelay = TimeSpan.FromMilliseconds(6);
    private static readonly TimeSpan HalfOpenFor = TimeSpan.FromSeconds(8);

    private static readonly Fate[] Deck =
    [
        Fate.Refused, Fate.HalfOpen, Fate.Slow, Fate.Slow, .. Enumerable.Repeat(Fate.Cut, 20),
    ];

    private readonly int _upstream;
    private readonly int _mostBytes;
    private readonly Random _random;
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly CancellationTokenSource _stopping = new();
    private readonly ConcurrentDictionary<ProxiedConnection, Task> _connections = [];
    private readonly ConcurrentDictionary<Fate, int> _met = [];
    private readonly Task _accepting;
    private Queue<Fate> _deck = [];
    private long _refuseUntil;

    /// <summary>Opens it, spared of all faults until <see cref="Stormy"/>.</summary>
    /// <param name="upstreamPort">Where it passes bytes on to.</param>
    /// <param name="mostBytes">The most bytes that a connection passes on before it meets its fate.</param>
    /// <param name="random">Draws the fates.</param>
    public CuttingProxy(int upstreamPort, int mostBytes, Random random)
    {
        (_upstream, _mostBytes, _random) = (upstreamPort, mostBytes, random);
        _listener.Start();
        _accepting = Task.Run(AcceptAsync);
    }

    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    /// <summary>Whether new connections meet a fate.</summary>
    public bool Stormy { get; private set; }

    /// <summary>How many connections met each fate.</summary>
    public IReadOnlyDictionary<Fate, int> Met => _met;

    /// <summary>How many connections broke by a fate that they met.</summary>
    public int Broken => _met.Where(fate => fate.Key is not Fate.Spared).Sum(fate => fate.Value);

    /// <summary>Begins with faults; connections that were spared so far end.</summary>
    public void BeginStorm()
    {
        Stormy = true;
        foreach (var connection in _connections.Keys)
            connection.Dispose();
    }

    /// <summary>Spares all new connections, and ends those that are to meet a fate.</summary>
    public void Calm()
    {
        Stormy = false;
        foreach (var connection in _connections.Keys)
            connection.Dispose();
    }

    public async ValueTask DisposeAsync()
    {
        await _stopping.CancelAsync();
        _listener.Stop();
        await _accepting;
        foreach (var connection in _connections.Keys)
            connection.Dispose();
        await Task.WhenAll(_connections.Values);
        _stopping.Dispose();
    }

    private async Task AcceptAsync()
    {
        while (!_stopping.IsCancellationRequested)
        {
            Socket caller;
            try
            {
                caller = await _listener.AcceptSocketAsync(_stopping.Token);
            }
            catch (Exception exception) when (exception is OperationCanceledException or SocketException)
            {
                return;
            }

            var connection = new ProxiedConnection(caller, Draw());
            if (connection.Fate == Fate.Refused)
            {
                Count(Fate.Refused);
                connection.Dispose();
                continue;
            }

            // Registered before it runs, so that it is there to be taken out when it has ended.
            var run = new Task<Task>(() => RunAsync(connection));
            _connections[connection] = run.Unwrap();
            run.Start(TaskScheduler.Default);
        }
    }

    private Plan Draw()
    {
        if (!Stormy)
            return new(Fate.Spared, long.MaxValue, TimeSpan.Zero, int.MaxValue, TimeSpan.Zero);
        if (Environment.TickCount64 < _refuseUntil)
            return new(Fate.Refused, 0, TimeSpan.Zero, 0, TimeSpan.Zero);
        var bytes = _random.Next(FewestBytes, _mostBytes);
        // Drawn from a deck, so that every fate comes round.
        if (_deck.Count == 0)
        {
            var fates = (Fate[])Deck.Clone();
            _random.Shuffle(fates);
            _deck = new(fates);
        }

        switch (_deck.Dequeue())
        {
            case Fate.Refused:
                _refuseUntil = Environment.TickCount64 + (long)RefusedFor.TotalMilliseconds;
                return new(Fate.Refused, 0, TimeSpan.Zero, 0, TimeSpan.Zero);
            case Fate.HalfOpen:
                return new(Fate.HalfOpen, bytes / 8, TimeSpan.Zero, int.MaxValue, HalfOpenFor);
            case Fate.Slow:
                return new(Fate.Slow, bytes / 2, LongestDelay * _random.NextDouble(), SmallPiece, TimeSpan.Zero);
            default:
                return new(Fate.Cut, bytes, TimeSpan.Zero, int.MaxValue, TimeSpan.Zero);
        }
    }

    private async Task RunAsync(ProxiedConnection connection)
    {
        if (await connection.RunAsync(_upstream, _stopping.Token))
            Count(connection.Fate);
        _connections.TryRemove(connection, out _);
    }

    private void Count(Fate fate) => _met.AddOrUpdate(fate, 1, (_, count) => count + 1);
}
