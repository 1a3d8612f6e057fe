using System.Text.Json;
using Npgsql;
using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Modules;
using Reliability.Store.Readings;

namespace Reliability.Store.Lives;

/// <summary>
/// Takes readings into the rows of modules without their records, where those say that readings follow on them plainly. The work
/// goes with the readings that came, not with what was there.
/// </summary>
/// <remarks>
/// Nothing is kept in memory between pages: what must be known stands in the row and is written and lost together with it. A row
/// is changed only as it was read; who replaced it meanwhile knew more.
/// </remarks>
/// <param name="database">The database.</param>
/// <param name="waitForDisk">Whether rows are on disk when they are changed; see <see cref="DerivedRows"/>.</param>
internal sealed class ContinuedRows(Database database, bool waitForDisk)
{
    /// <summary>Goes on with modules onto whose records nothing but sheets came.</summary>
    /// <param name="organisation">The organisation.</param>
    /// <param name="modules">The modules.</param>
    /// <param name="floor">The position behind which the readings came that rows may not hold yet.</param>
    /// <param name="cancellation">Ends the work; it may be done again.</param>
    /// <returns>The modules whose whole records must be looked at; their rows are as they were.</returns>
    public Task<IReadOnlyCollection<string>> ContinueAsync(
        string organisation, string[] modules, long floor, CancellationToken cancellation) =>
        Failure.Translated(() => TakeInAsync(organisation, modules, floor, cancellation));

    private async Task<IReadOnlyCollection<string>> TakeInAsync(
        string organisation, string[] modules, long floor, CancellationToken cancellation)
    {
        await using var connection = await database.Source.OpenConnectionAsync(cancellation);
        var continued = new List<ContinuedRow>(modules.Length);
        var rows = await RowsAsync(connection, organisation, modules, floor, cancellation);
        foreach (var row in rows)
            if (Continue(organisation, row) is { } on) continued.Add(on);
        var left = modules.ToHashSet(StringComparer.Ordinal);
        if (continued.Count == 0) return left;
        await using var transaction = await connection.BeginTransactionAsync(cancellation);
        left.ExceptWith(await WriteAsync(connection, organisation, continued, cancellation));
        await transaction.CommitAsync(cancellation);
        StoreTelemetry.ModulesContinued.Add(modules.Length - left.Count);
        return left;
    }

    private async Task<List<KnownRow>> RowsAsync(
        NpgsqlConnection connection, string organisation, string[] modules, long floor, CancellationToken cancellation)
    {
        await using var command = new NpgsqlCommand(
            $"""
            select state.module, state.position, state.catalogue_version, state.alias_version, state.summary, state.continuation,
              array(select readings from {database.Schema}.module_readings as filed
                where filed.organisation = $1 and filed.module = state.module and filed.floor_position >= $3 order by floor_position)
            from {database.Schema}.module_state as state
            where state.organisation = $1 and state.module = any($2) and state.continuation is not null
            order by state.module
            """,
            connection);
        DerivedRows.Add(command.Parameters, organisation);
        DerivedRows.Add(command.Parameters, (IEnumerable<string>)modules);
        command.Parameters.Add(new NpgsqlParameter<long> { TypedValue = floor });
        var rows = new List<KnownRow>(modules.Length);
        await using var reader = await command.ExecuteReaderAsync(cancellation);
        while (await reader.ReadAsync(cancellation))
        {
            rows.Add(new(
                reader.GetString(0), reader.GetInt64(1), reader.GetInt64(2), reader.GetInt64(3), reader.GetFieldValue<byte[]>(4),
                reader.GetFieldValue<byte[]>(5), reader.GetFieldValue<byte[][]>(6)));
        }
        return rows;
    }

    private static ContinuedRow? Continue(string organisation, KnownRow row)
    {
        if (RowContinuation.Read(row.Continuation) is not { } known) return null;
        var (seen, filed) = (new HashSet<long>(), new List<(long Position, RecordedEvent Event)>());
        try
        {
            foreach (var readings in row.Readings) FiledBytes.Read(readings, organisation, row.Module, seen, filed);
        }
        catch (InvalidDataException)
        {
            // Told where the whole record is read.
            return null;
        }
        filed.RemoveAll(reading => reading.Position <= known.SheetPosition);
        var summary = JsonSerializer.Deserialize(row.Summary, StoreJsonContext.Default.ModuleSummary)!;
        if (filed.Count == 0 || summary.CurrentLife is not { } life
            || LifeContinuation.Continue(new(summary.Module, life, known.From), filed.Select(reading => reading.Event)) is not { } on)
            return null;
        var last = filed.Max(reading => reading.Position);
        return new ContinuedRow(
            row, Math.Max(row.Position, last), on.CurrentLife, summary with { Module = on.Module, CurrentLife = on.CurrentLife },
            new RowContinuation(last, on.Continuation));
    }

    private async Task<List<string>> WriteAsync(
        NpgsqlConnection connection, string organisation, List<ContinuedRow> rows, CancellationToken cancellation)
    {
        if (!waitForDisk)
        {
            await using var set = new NpgsqlCommand("set local synchronous_commit = off", connection);
            await set.ExecuteNonQueryAsync(cancellation);
        }
        // All lives of a module bear its revision; the others stay as they are.
        await using var command = new NpgsqlCommand(
            $"""
            with continued as (
              select * from unnest($2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12) as continued
                (module, was_position, was_catalogue_version, was_alias_version, position, summary, continuation, number, lower_hours, life,
                 end_time)
            ), state as (
              update {database.Schema}.module_state as there
              set position = continued.position, summary = continued.summary::json, continuation = continued.continuation::json
              from continued
              where there.organisation = $1 and there.module = continued.module and there.position = was_position
                and there.catalogue_version = was_catalogue_version and there.alias_version = was_alias_version
              returning there.module
            ), life as (
              update {database.Schema}.lives as there
              set position = continued.position,
                lower_hours = case there.number when continued.number then continued.lower_hours else there.lower_hours end,
                life = case there.number when continued.number then continued.life::json else there.life end,
                end_time = case there.number when continued.number then continued.end_time else there.end_time end
              from continued join state using (module)
              where there.organisation = $1 and there.module = continued.module
            )
            select module from state
            """,
            connection);
        DerivedRows.Add(command.Parameters, organisation);
        DerivedRows.Add(command.Parameters, rows.Select(row => row.Was.Module));
        DerivedRows.Add(command.Parameters, rows.Select(row => row.Was.Position));
        DerivedRows.Add(command.Parameters, rows.Select(row => row.Was.CatalogueVersion));
        DerivedRows.Add(command.Parameters, rows.Select(row => row.Was.AliasVersion));
        DerivedRows.Add(command.Parameters, rows.Select(row => row.Position));
        DerivedRows.Add(command.Parameters, rows.Select(row => JsonSerializer.Serialize(row.Summary, StoreJsonContext.Default.ModuleSummary)));
        DerivedRows.Add(command.Parameters, rows.Select(row => row.Continuation.ToJson()));
        DerivedRows.Add(command.Parameters, rows.Select(row => row.Life.Number));
        DerivedRows.Add(command.Parameters, rows.Select(row => row.Life.Outcome?.LowerHours));
        DerivedRows.Add(command.Parameters, rows.Select(row => JsonSerializer.Serialize(row.Life, StoreJsonContext.Default.Life)));
        DerivedRows.Add(command.Parameters, rows.Select(row => row.Life.EndTime.ToUniversalTime()));
        var written = new List<string>(rows.Count);
        await using (var reader = await command.ExecuteReaderAsync(cancellation))
        {
            while (await reader.ReadAsync(cancellation)) written.Add(reader.GetString(0));
        }
        if (written.Count == 0) return written;
        await using var batch = new NpgsqlBatch(connection) { BatchCommands = { LivesVersion.Change(database, organisation) } };
        await batch.ExecuteNonQueryAsync(cancellation);
        return written;
    }

    /// <summary>A module's row as it was read, with its readings that were filed since.</summary>
    private sealed record KnownRow(
        string Module, long Position, long CatalogueVersion, long AliasVersion, byte[] Summary, byte[] Continuation, byte[][] Readings);

    private sealed record ContinuedRow(
        KnownRow Was, long Position, Life Life, ModuleSummary Summary, RowContinuation Continuation);
}
