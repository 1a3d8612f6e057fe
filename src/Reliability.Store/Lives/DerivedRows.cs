using System.Text.Json;
using Npgsql;
using Reliability.History.Identifiers;
using Reliability.History.Lives;

namespace Reliability.Store.Lives;

/// <summary>
/// Replaces the rows of modules: state, identifiers, lives. A row derived from an older record or catalogue never
/// replaces one derived from a newer, so the projection, a rebuild and a process that thinks itself still in charge may
/// all write at once.
/// </summary>
/// <param name="database">The database.</param>
/// <param name="waitForDisk">
/// Whether rows are on disk when they are replaced. Where not, whoever replaces them commits to disk what says that they are there.
/// </param>
internal sealed class DerivedRows(Database database, bool waitForDisk)
{
    // Tables whose rows follow the module's state.
    private static readonly string[] Followers = ["lives", "module_identifier", "module_host"];

    public async Task ReplaceAsync(
        string organisation, IReadOnlyList<DerivedRecord> derived, CancellationToken cancellation)
    {
        if (derived.Count == 0) return;
        var rows = derived.SelectMany(StateRow.Of).OrderBy(row => row.Module, StringComparer.Ordinal).ToList();
        await using var connection = await database.Source.OpenConnectionAsync(cancellation);
        await using var transaction = await connection.BeginTransactionAsync(cancellation);
        var replaced = await ReplaceStatesAsync(connection, organisation, rows, cancellation);
        var kept = derived.Where(record => replaced.Contains(record.Record.ModuleId))
            .OrderBy(record => record.Record.ModuleId, StringComparer.Ordinal).ToList();
        await using (var batch = new NpgsqlBatch(connection))
        {
            if (!waitForDisk) batch.BatchCommands.Add(new("set local synchronous_commit = off"));
            string[] modules = [.. replaced.Order(StringComparer.Ordinal)];
            batch.BatchCommands.Add(ReplaceLives(organisation, modules, kept));
            batch.BatchCommands.Add(ReplaceIdentifiers(organisation, modules, kept));
            batch.BatchCommands.Add(ReplaceHosts(organisation, modules, kept));
            batch.BatchCommands.Add(Archive(organisation, kept));
            // Last, and so held by others for no longer than this commit.
            batch.BatchCommands.Add(LivesVersion.Change(database, organisation));
            await batch.ExecuteNonQueryAsync(cancellation);
        }
        await transaction.CommitAsync(cancellation);
        StoreTelemetry.ModulesDerived.Add(derived.Count);
    }

    /// <summary>
    /// A module whose record cannot be derived keeps its rows, but nothing is gone on with from there: what came would be left out.
    /// </summary>
    public Task StopAsync(string organisation, string module, CancellationToken cancellation) => Failure.Translated(async () =>
    {
        await using var command = database.Source.CreateCommand(
            $"update {database.Schema}.module_state set continuation = null where organisation = $1 and module = $2");
        Add(command.Parameters, organisation);
        Add(command.Parameters, module);
        return await command.ExecuteNonQueryAsync(cancellation);
    });

    /// <summary>
    /// Takes away the rows of ids of which nothing is on record: one can have had rows as the primary id of others, whose
    /// alias was deleted.
    /// </summary>
    public async Task RemoveEmptyAsync(string organisation, string[] modules, CancellationToken cancellation)
    {
        await using var connection = await database.Source.OpenConnectionAsync(cancellation);
        await using var batch = new NpgsqlBatch(connection);
        foreach (var table in (string[])["module_state", .. Followers])
        {
            var command = Delete(table, organisation, modules);
            command.CommandText +=
                $"""
                 and not exists (select from {database.Schema}.mt_streams where tenant_id = $1 and id = module)
                 and not exists (select from {database.Schema}.module_readings as filed
                   where filed.organisation = $1 and filed.module = {table}.module)
                """;
            batch.BatchCommands.Add(command);
        }
        // Without a transaction of its own a batch is one.
        batch.BatchCommands.Add(LivesVersion.Change(database, organisation));
        await batch.ExecuteNonQueryAsync(cancellation);
    }

    private async Task<HashSet<string>> ReplaceStatesAsync(
        NpgsqlConnection connection, string organisation, IReadOnlyList<StateRow> rows, CancellationToken cancellation)
    {
        await using var command = new NpgsqlCommand(
            $"""
            insert into {database.Schema}.module_state as there
              (organisation, module, model, models_named, state, site, host_device, host_model, lot,
               refurbishment_count, refurbisher, position, catalogue_version, summary,
               spellings_named, alias_version, joined_to, continuation)
            select $1, module, model, string_to_array(models_named, E'\n'), state, site, host_device, host_model, lot,
               refurbishment_count, refurbisher, position, catalogue_version, summary::json,
               string_to_array(spellings_named, E'\n'), alias_version, joined_to, continuation::json
            from unnest($2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18) as derived
              (module, model, models_named, state, site, host_device, host_model, lot,
               refurbishment_count, refurbisher, position, catalogue_version, summary,
               spellings_named, alias_version, joined_to, continuation)
            on conflict (organisation, module) do update set
              model = excluded.model, models_named = excluded.models_named, state = excluded.state,
              site = excluded.site, host_device = excluded.host_device, host_model = excluded.host_model,
              lot = excluded.lot, refurbishment_count = excluded.refurbishment_count,
              refurbisher = excluded.refurbisher, position = excluded.position,
              catalogue_version = excluded.catalogue_version, summary = excluded.summary,
              spellings_named = excluded.spellings_named, alias_version = excluded.alias_version,
              joined_to = excluded.joined_to, continuation = excluded.continuation
            where there.alias_version < excluded.alias_version
              or (there.alias_version = excluded.alias_version
                and there.position <= excluded.position and there.catalogue_version <= excluded.catalogue_version)
            returning module
            """,
            connection);
        Add(command.Parameters, organisation);
        Add(command.Parameters, rows.Select(row => row.Module));
        Add(command.Parameters, rows.Select(row => row.Derived?.ModelId));
        Add(command.Parameters, rows.Select(row => string.Join('\n', row.ModelsNamed)));
        Add(command.Parameters, rows.Select(row => row.State));
        Add(command.Parameters, rows.Select(row => row.Derived?.Site));
        Add(command.Parameters, rows.Select(row => row.Derived?.HostDevice));
        Add(command.Parameters, rows.Select(row => row.Derived?.HostModel));
        Add(command.Parameters, rows.Select(row => row.Derived?.Lot));
        Add(command.Parameters, rows.Select(row => row.Derived?.Condition?.RefurbishmentCount));
        Add(command.Parameters, rows.Select(row => row.Derived?.Condition?.Refurbisher));
        Add(command.Parameters, rows.Select(row => row.Position));
        Add(command.Parameters, rows.Select(row => row.CatalogueVersion));
        Add(command.Parameters, rows.Select(row => row.Summary));
        Add(command.Parameters, rows.Select(row => string.Join('\n', row.SpellingsNamed)));
        Add(command.Parameters, rows.Select(row => row.AliasVersion));
        Add(command.Parameters, rows.Select(row => row.JoinedTo));
        Add(command.Parameters, rows.Select(row => row.Continuation));
        var replaced = new HashSet<string>(StringComparer.Ordinal);
        await using var reader = await command.ExecuteReaderAsync(cancellation);
        while (await reader.ReadAsync(cancellation)) replaced.Add(reader.GetString(0));
        return replaced;
    }

    /// <summary>
    /// Marks the streams of retired modules as archived, and takes the mark off when one is back. A stream that is being
    /// written just now is passed over: what is written has it derived again.
    /// </summary>
    private NpgsqlBatchCommand Archive(string organisation, IReadOnlyList<DerivedRecord> records)
    {
        var command = new NpgsqlBatchCommand(
            $"""
            with changed as (
              select id, retired from {database.Schema}.mt_streams join unnest($2, $3) as derived (module, retired) on id = module
              where tenant_id = $1 and is_archived <> retired for update of mt_streams skip locked)
            update {database.Schema}.mt_streams as stream set is_archived = retired
            from changed where stream.tenant_id = $1 and stream.id = changed.id
            """);
        Add(command.Parameters, organisation);
        Add(command.Parameters, records.Select(record => record.Record.ModuleId));
        Add(command.Parameters, records.Select(record => record.Derived.State == ModuleState.Retired));
        return command;
    }

    private NpgsqlBatchCommand Delete(string table, string organisation, string[] modules)
    {
        var command = new NpgsqlBatchCommand(
            $"delete from {database.Schema}.{table} where organisation = $1 and module = any($2)");
        Add(command.Parameters, organisation);
        Add(command.Parameters, modules);
        return command;
    }

    // Rows that stay are written in place, or not at all where nothing changes: rows taken out and put in again would leave a dead
    // row and entries of every index behind at each reading.
    private NpgsqlBatchCommand ReplaceLives(string organisation, string[] modules, IReadOnlyList<DerivedRecord> records)
    {
        var rows = records.SelectMany(record => record.Derived.Lives.Select(life => (Record: record, Life: life))).ToList();
        var lives = rows.ConvertAll(row => row.Life);
        var command = new NpgsqlBatchCommand(
            $"""
            with derived as (
              select * from unnest($3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22, $23, $24, $25) as derived
                (module, number, model, refurbishment_count, refurbisher, site, host_model, lot,
                 start_time, outcome, entry_hours, lower_hours, upper_hours, failure_mode, exclusion, flagged,
                 position, catalogue_version, life, end_time, in_service, rated_hours, ambiguities)
            ), gone as (
              delete from {database.Schema}.lives as there where organisation = $1 and module = any($2)
                and not exists (select from derived where derived.module = there.module and derived.number = there.number)
            )
            insert into {database.Schema}.lives
              (organisation, module, number, model, refurbishment_count, refurbisher, site, host_model, lot,
               start_time, outcome, entry_hours, lower_hours, upper_hours, failure_mode, exclusion, flagged,
               position, catalogue_version, life, end_time, in_service, rated_hours, ambiguities)
            select $1, module, number, model, refurbishment_count, refurbisher, site, host_model, lot,
               start_time, outcome, entry_hours, lower_hours, upper_hours, failure_mode, exclusion, flagged,
               position, catalogue_version, life::json, end_time, in_service, rated_hours, ambiguities
            from derived
            on conflict (organisation, module, number) do update set
              model = excluded.model, refurbishment_count = excluded.refurbishment_count, refurbisher = excluded.refurbisher,
              site = excluded.site, host_model = excluded.host_model, lot = excluded.lot, start_time = excluded.start_time,
              outcome = excluded.outcome, entry_hours = excluded.entry_hours, lower_hours = excluded.lower_hours,
              upper_hours = excluded.upper_hours, failure_mode = excluded.failure_mode, exclusion = excluded.exclusion,
              flagged = excluded.flagged, position = excluded.position, catalogue_version = excluded.catalogue_version,
              life = excluded.life, end_time = excluded.end_time, in_service = excluded.in_service,
              rated_hours = excluded.rated_hours, ambiguities = excluded.ambiguities
            """);
        Add(command.Parameters, organisation);
        Add(command.Parameters, modules);
        Add(command.Parameters, lives.Select(life => life.ModuleId));
        Add(command.Parameters, lives.Select(life => life.Number));
        Add(command.Parameters, lives.Select(life => life.ModelId));
        Add(command.Parameters, lives.Select(life => life.Condition.RefurbishmentCount));
        Add(command.Parameters, lives.Select(life => life.Condition.Refurbisher));
        Add(command.Parameters, lives.Select(life => life.Site));
        Add(command.Parameters, lives.Select(life => life.HostModel));
        Add(command.Parameters, lives.Select(life => life.Lot));
        Add(command.Parameters, lives.Select(life => life.StartTime.ToUniversalTime()));
        Add(command.Parameters, lives.Select(life => Words.Of(life.Outcome?.Kind)));
        Add(command.Parameters, lives.Select(life => life.EntryHours));
        Add(command.Parameters, lives.Select(life => life.Outcome?.LowerHours));
        Add(command.Parameters, lives.Select(life => life.Outcome?.UpperHours));
        Add(command.Parameters, lives.Select(life => life.FailureMode));
        Add(command.Parameters, lives.Select(life => Words.Of(life.Exclusion)));
        Add(command.Parameters, lives.Select(life => life.IsFlagged));
        Add(command.Parameters, rows.Select(row => row.Record.Position));
        Add(command.Parameters, rows.Select(row => row.Record.CatalogueVersion));
        Add(command.Parameters, lives.Select(life => JsonSerializer.Serialize(life, StoreJsonContext.Default.Life)));
        Add(command.Parameters, lives.Select(life => life.EndTime.ToUniversalTime()));
        Add(command.Parameters, lives.Select(life => life.InService));
        Add(command.Parameters, lives.Select(life => life.RatedHours));
        Add(command.Parameters, lives.Select(SampleRow.Ambiguities));
        return command;
    }

    private NpgsqlBatchCommand ReplaceIdentifiers(
        string organisation, string[] modules, IReadOnlyList<DerivedRecord> records)
    {
        var rows = records
            .SelectMany(record => IdentifierText.FoundBy(record.Derived.Identifiers)
                .Select(identifier => (record.Record.ModuleId, identifier)))
            .ToList();
        var command = new NpgsqlBatchCommand(
            $"""
            with derived as (select * from unnest($3, $4, $5) as derived (kind, value, module)), gone as (
              delete from {database.Schema}.module_identifier as there where organisation = $1 and module = any($2)
                and not exists (select from derived
                  where derived.module = there.module and derived.kind = there.kind and derived.value = there.value)
            )
            insert into {database.Schema}.module_identifier (organisation, kind, value, module)
            select $1, kind, value, module from derived on conflict do nothing
            """);
        Add(command.Parameters, organisation);
        Add(command.Parameters, modules);
        Add(command.Parameters, rows.Select(row => Words.Of(row.identifier.Kind)));
        Add(command.Parameters, rows.Select(row => row.identifier.Value));
        Add(command.Parameters, rows.Select(row => row.ModuleId));
        return command;
    }

    private NpgsqlBatchCommand ReplaceHosts(string organisation, string[] modules, IReadOnlyList<DerivedRecord> records)
    {
        var rows = records.SelectMany(HostStay.Of).ToList();
        var command = new NpgsqlBatchCommand(
            $"""
            with derived as (select * from unnest($3, $4, $5, $6) as derived (host, module, fitted_from, fitted_to)), gone as (
              delete from {database.Schema}.module_host as there where organisation = $1 and module = any($2)
                and not exists (select from derived where derived.module = there.module and derived.host = there.host)
            )
            insert into {database.Schema}.module_host as there (organisation, host, module, fitted_from, fitted_to)
            select $1, host, module, fitted_from, fitted_to from derived
            on conflict (organisation, host, module) do update
              set fitted_from = excluded.fitted_from, fitted_to = excluded.fitted_to
              where (there.fitted_from, there.fitted_to) is distinct from (excluded.fitted_from, excluded.fitted_to)
            """);
        Add(command.Parameters, organisation);
        Add(command.Parameters, modules);
        Add(command.Parameters, rows.Select(row => row.Host));
        Add(command.Parameters, rows.Select(row => row.Module));
        Add(command.Parameters, rows.Select(row => row.From));
        Add(command.Parameters, rows.Select(row => row.To));
        return command;
    }

    internal static void Add(NpgsqlParameterCollection parameters, string value) =>
        parameters.Add(new NpgsqlParameter<string> { TypedValue = value });

    internal static void Add<T>(NpgsqlParameterCollection parameters, IEnumerable<T> column) =>
        parameters.Add(new NpgsqlParameter<T[]> { TypedValue = [.. column] });
}
