using System.Diagnostics;
using System.Globalization;

namespace Reliability.EndToEnd.Running;

/// <summary>The service as a process of its own, on real sockets and a real PostgreSQL, with its log kept.</summary>
public sealed class ServiceProcess : IAsyncDisposable
{
    private const string LivesBehind = "with message 'Lives have fallen behind the record.";

    private static readonly TimeSpan LongestStart = TimeSpan.FromMinutes(5), LongestStop = TimeSpan.FromMinutes(3);

    private readonly Process _process;
    private readonly List<string> _log = [];

    private ServiceProcess(Process process, int grpcPort, int httpPort)
    {
        (_process, GrpcAddress, HttpAddress) = (process, Address(grpcPort), Address(httpPort));
        process.OutputDataReceived += Keep;
        process.ErrorDataReceived += Keep;
    }

    public Uri GrpcAddress { get; }

    public Uri HttpAddress { get; }

    /// <summary>Memory that the process holds now, bytes.</summary>
    public long WorkingSet
    {
        get
        {
            _process.Refresh();
            return _process.WorkingSet64;
        }
    }

    /// <summary>Memory that the process held at most so far, bytes: VmHWM of the system.</summary>
    public long PeakWorkingSet
    {
        get
        {
            const string Key = "VmHWM:";
            var line = File.ReadLines(string.Create(CultureInfo.InvariantCulture, $"/proc/{_process.Id}/status"))
                .Single(line => line.StartsWith(Key, StringComparison.Ordinal));
            return long.Parse(line[Key.Length..].Replace("kB", "", StringComparison.Ordinal), CultureInfo.InvariantCulture) * 1024;
        }
    }

    /// <summary>Time on a processor that it has taken so far.</summary>
    public TimeSpan ProcessorTime
    {
        get
        {
            _process.Refresh();
            return _process.TotalProcessorTime;
        }
    }

    /// <summary>The log so far.</summary>
    public IReadOnlyList<string> Log
    {
        get
        {
            lock (_log)
                return [.. _log];
        }
    }

    /// <summary>
    /// What the log tells of errors. A test run with any has failed. That lives are behind for a while is what a machine that does too
    /// much at once makes of any service: readiness is there to say it, and that is no fault.
    /// </summary>
    public IReadOnlyList<string> Errors =>
        [.. Told().Where(told => IsError(told.Line) && !told.Next.Contains(LivesBehind, StringComparison.Ordinal)).Select(told => told.Line)];

    /// <summary>
    /// What the log tells of errors of the service's own. Where the database is taken away, libraries rightly tell of that as an
    /// error; the service itself must not.
    /// </summary>
    public IReadOnlyList<string> OwnErrors =>
    [
        .. Told()
            .Where(told => IsError(told.Line)
                && (!told.Line.StartsWith("fail: ", StringComparison.Ordinal) || told.Line.StartsWith("fail: Reliability.", StringComparison.Ordinal)))
            .Select(told => $"{told.Line} {told.Next}"),
    ];

    /// <summary>Starts the service and waits until it says that it is ready.</summary>
    public static Task<ServiceProcess> StartAsync(params string[] settings)
    {
        var (grpc, http) = FreePorts.Take();
        return StartAsync(grpc, http, settings);
    }

    /// <summary>Starts the service at these ports and waits until it says that it is ready.</summary>
    public static async Task<ServiceProcess> StartAsync(int grpc, int http, params string[] settings)
    {
        var service = Launch(grpc, http, settings);
        using var client = new HttpClient { BaseAddress = service.HttpAddress };
        var started = Stopwatch.StartNew();
        while (true)
        {
            if (service._process.HasExited || started.Elapsed > LongestStart)
            {
                var log = string.Join(Environment.NewLine, service.Log);
                await service.DisposeAsync();
                throw new InvalidOperationException("The service did not get ready:" + Environment.NewLine + log);
            }

            try
            {
                using var answer = await client.GetAsync(new Uri("/healthz/ready", UriKind.Relative));
                if (answer.IsSuccessStatusCode)
                    return service;
            }
            catch (HttpRequestException)
            {
                // Not listening yet.
            }

            await Task.Delay(50);
        }
    }

    /// <summary>Starts the service where it is expected to refuse, and returns its exit code and what it said.</summary>
    public static async Task<(int ExitCode, string Said)> RunToEndAsync(params string[] settings)
    {
        using var process = Process.Start(StartInfo(settings))!;
        using var limit = new CancellationTokenSource(LongestStart);
        var output = process.StandardOutput.ReadToEndAsync(limit.Token);
        var error = process.StandardError.ReadToEndAsync(limit.Token);
        await process.WaitForExitAsync(limit.Token);
        return (process.ExitCode, await output + await error);
    }

    /// <summary>Ends it the way an operator does, and returns its exit code.</summary>
    public async Task<int> StopAsync()
    {
        if (!_process.HasExited)
        {
            using var kill = Process.Start("kill", ["-TERM", _process.Id.ToString(CultureInfo.InvariantCulture)]);
            await kill.WaitForExitAsync();
            using var limit = new CancellationTokenSource(LongestStop);
            await _process.WaitForExitAsync(limit.Token);
        }

        return _process.ExitCode;
    }

    /// <summary>Ends it at once: kill -9.</summary>
    public async Task KillAsync()
    {
        _process.Kill();
        await _process.WaitForExitAsync();
    }

    public async ValueTask DisposeAsync()
    {
        try
        {
            await StopAsync();
        }
        finally
        {
            _process.Kill();
            _process.Dispose();
        }
    }

    private static ServiceProcess Launch(int grpcPort, int httpPort, string[] settings)
    {
        var process = new Process
        {
            StartInfo = StartInfo([
                $"--Endpoints:Grpc={Address(grpcPort)}", $"--Endpoints:Http={Address(httpPort)}", .. settings,
            ]),
        };
        var service = new ServiceProcess(process, grpcPort, httpPort);
        process.Start();
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        return service;
    }

    private static ProcessStartInfo StartInfo(string[] settings) => new(
        "dotnet", [Path.Combine(AppContext.BaseDirectory, "Reliability.Service.dll"), .. settings])
    {
        RedirectStandardOutput = true,
        RedirectStandardError = true,
    };

    private static bool IsError(string line) =>
        line.StartsWith("fail:", StringComparison.Ordinal) || line.StartsWith("crit:", StringComparison.Ordinal)
        || line.StartsWith("Unhandled exception", StringComparison.Ordinal);

    private static Uri Address(int port) => new(string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{port}"));

    /// <summary>Each line of the log with the one below it, where the message of a category stands.</summary>
    private IEnumerable<(string Line, string Next)> Told()
    {
        var log = Log;
        return log.Zip(log.Skip(1).Append(""), (line, next) => (line, next.Trim()));
    }

    private void Keep(object sender, DataReceivedEventArgs line)
    {
        if (line.Data is null)
            return;
        lock (_log)
            _log.Add(line.Data);
    }
}
