using System.Diagnostics;
using System.Globalization;
using Npgsql;
using Reliability.Benchmarks.Harness;

namespace Reliability.Benchmarks.Ingest;

/// <summary>
/// Time on a processor that client, service and PostgreSQL have taken so far. Other work on the machine changes it less than
/// it changes rates.
/// </summary>
internal sealed class Processors(RunningService service, NpgsqlDataSource database)
{
    // Linux counts in hundredths of a second for user programs on all its platforms.
    private const double TicksPerSecond = 100;

    /// <summary>Seconds of processor time so far; of PostgreSQL by process.</summary>
    internal sealed record Taken(double Client, double Service, IReadOnlyDictionary<int, double> Postgres);

    public async Task<Taken> TakenAsync(CancellationToken cancellationToken)
    {
        Dictionary<int, double> postgres = [];
        await using var command = database.CreateCommand("select pid from pg_stat_activity");
        await using var reader = await command.ExecuteReaderAsync(cancellationToken);
        while (await reader.ReadAsync(cancellationToken))
        {
            if (ProcessSeconds(reader.GetInt32(0)) is { } seconds)
                postgres[reader.GetInt32(0)] = seconds;
        }

        using var client = Process.GetCurrentProcess();
        return new(client.TotalProcessorTime.TotalSeconds, service.ProcessorSeconds, postgres);
    }

    /// <summary>Microseconds that each took for an event since an earlier moment.</summary>
    public static (double Client, double Service, double Postgres) EachSince(Taken before, Taken after, int events)
    {
        var postgres = after.Postgres.Sum(process => process.Value - before.Postgres.GetValueOrDefault(process.Key));
        return (Each(after.Client - before.Client), Each(after.Service - before.Service), Each(postgres));

        double Each(double seconds) => seconds / events * 1e6;
    }

    private static double? ProcessSeconds(int process)
    {
        try
        {
            // The name may hold blanks; user and system time are the 12th and 13th field behind it.
            var fields = File.ReadAllText($"/proc/{process}/stat").Split(") ")[^1].Split(' ');
            return (Ticks(fields[11]) + Ticks(fields[12])) / TicksPerSecond;
        }
        catch (IOException)
        {
            return null;
        }

        static double Ticks(string field) => double.Parse(field, CultureInfo.InvariantCulture);
    }
}
