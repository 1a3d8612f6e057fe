using System.Text.Json;
using Npgsql;
using Reliability.History.Identifiers;
using Reliability.Store.Modules;

namespace Reliability.Store.Lives;

/// <summary>
/// Replaces the rows of modules: state, identifiers, lives. A row derived from an older record or catalogue never
/// replaces one derived from a newer, so the projection, a rebuild and a process that thinks itself still in charge may
/// all write at once.
/// </summary>
internal sealed class DerivedRows(Database database)
{
    public async Task ReplaceAsync(
        string organisation, IReadOnlyList<DerivedRecord> derived, CancellationToken cancellation)
    {
        if (derived.Count == 0) return;
        var sorted = derived.OrderBy(record => record.Record.ModuleId, StringComparer.Ordinal).ToList();
        await using var connection = await database.Source.OpenConnectionAsync(cancellation);
        await using var transaction = await connection.BeginTransactionAsync(cancellation);
        var replaced = await ReplaceStatesAsync(connection, organisation, sorted, cancellation);
        var kept = sorted.Where(record => replaced.Contains(record.Record.ModuleId)).ToList();
        await using (var batch = new NpgsqlBatch(connection))
        {
            string[] modules = [.. kept.Select(record => record.Record.ModuleId)];
            batch.BatchCommands.Add(Delete("lives", organisation, modules));
            batch.BatchCommands.Add(Delete("module_identifier", organisation, modules));
            batch.BatchCommands.Add(InsertLives(organisation, kept));
            batch.BatchCommands.Add(InsertIdentifiers(organisation, kept));
            await batch.ExecuteNonQueryAsync(cancellation);
        }
        await transaction.CommitAsync(cancellation);
        StoreTelemetry.ModulesDerived.Add(derived.Count);
    }

    private async Task<HashSet<string>> ReplaceStatesAsync(
        NpgsqlConnection connection, string organisation, IReadOnlyList<DerivedRecord> records,
        CancellationToken cancellation)
    {
        var modules = records.Select(record => record.Derived).ToList();
        await using var command = new NpgsqlCommand(
            $"""
            insert into {database.Schema}.module_state as there
              (organisation, module, model, models_named, state, site, host_device, host_model, lot,
               refurbishment_count, refurbisher, position, catalogue_version, summary)
            select $1, module, model, string_to_array(models_named, E'\n'), state, site, host_device, host_model, lot,
               refurbishment_count, refurbisher, position, catalogue_version, summary::json
            from unnest($2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14) as derived
              (module, model, models_named, state, site, host_device, host_model, lot,
               refurbishment_count, refurbisher, position, catalogue_version, summary)
            on conflict (organisation, module) do update set
              model = excluded.model, models_named = excluded.models_named, state = excluded.state,
              site = excluded.site, host_device = excluded.host_device, host_model = excluded.host_model,
              lot = excluded.lot, refurbishment_count = excluded.refurbishment_count,
              refurbisher = excluded.refurbisher, position = excluded.position,
              catalogue_version = excluded.catalogue_version, summary = excluded.summary
            where there.position <= excluded.position and there.catalogue_version <= excluded.catalogue_version
            returning module
            """,
            connection);
        Add(command.Parameters, organisation);
        Add(command.Parameters, records.Select(record => record.Record.ModuleId));
        Add(command.Parameters, modules.Select(module => module.ModelId));
        Add(command.Parameters, records.Select(record => string.Join('\n', record.Stored.ModelsNamed)));
        Add(command.Parameters, modules.Select(module => Words.Of(module.State)));
        Add(command.Parameters, modules.Select(module => module.Site));
        Add(command.Parameters, modules.Select(module => module.HostDevice));
        Add(command.Parameters, modules.Select(module => module.HostModel));
        Add(command.Parameters, modules.Select(module => module.Lot));
        Add(command.Parameters, modules.Select(module => module.Condition?.RefurbishmentCount));
        Add(command.Parameters, modules.Select(module => module.Condition?.Refurbisher));
        Add(command.Parameters, records.Select(record => record.Stored.Position));
        Add(command.Parameters, records.Select(record => record.CatalogueVersion));
        Add(command.Parameters, records.Select(record => JsonSerializer.Serialize(
            ModuleSummary.Of(record.Record, record.Derived), StoreJsonContext.Default.ModuleSummary)));
        var replaced = new HashSet<string>(StringComparer.Ordinal);
        await using var reader = await command.ExecuteReaderAsync(cancellation);
        while (await reader.ReadAsync(cancellation)) replaced.Add(reader.GetString(0));
        return replaced;
    }

    private NpgsqlBatchCommand Delete(string table, string organisation, string[] modules)
    {
        var command = new NpgsqlBatchCommand(
            $"delete from {database.Schema}.{table} where organisation = $1 and module = any($2)");
        Add(command.Parameters, organisation);
        Add(command.Parameters, modules);
        return command;
    }

    private NpgsqlBatchCommand InsertLives(string organisation, IReadOnlyList<DerivedRecord> records)
    {
        var rows = records.SelectMany(record => record.Derived.Lives.Select(life => (Record: record, Life: life))).ToList();
        var lives = rows.ConvertAll(row => row.Life);
        var command = new NpgsqlBatchCommand(
            $"""
            insert into {database.Schema}.lives
              (organisation, module, number, model, refurbishment_count, refurbisher, site, host_model, lot,
               start_time, outcome, entry_hours, lower_hours, upper_hours, failure_mode, exclusion, flagged,
               position, catalogue_version, life)
            select $1, module, number, model, refurbishment_count, refurbisher, site, host_model, lot,
               start_time, outcome, entry_hours, lower_hours, upper_hours, failure_mode, exclusion, flagged,
               position, catalogue_version, life::json
            from unnest($2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20) as derived
              (module, number, model, refurbishment_count, refurbisher, site, host_model, lot,
               start_time, outcome, entry_hours, lower_hours, upper_hours, failure_mode, exclusion, flagged,
               position, catalogue_version, life)
            """);
        Add(command.Parameters, organisation);
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
        Add(command.Parameters, rows.Select(row => row.Record.Stored.Position));
        Add(command.Parameters, rows.Select(row => row.Record.CatalogueVersion));
        Add(command.Parameters, lives.Select(life => JsonSerializer.Serialize(life, StoreJsonContext.Default.Life)));
        return command;
    }

    private NpgsqlBatchCommand InsertIdentifiers(string organisation, IReadOnlyList<DerivedRecord> records)
    {
        var rows = records
            .SelectMany(record => IdentifierText.FoundBy(record.Derived.Identifiers)
                .Select(identifier => (record.Record.ModuleId, identifier)))
            .ToList();
        var command = new NpgsqlBatchCommand(
            $"""
            insert into {database.Schema}.module_identifier (organisation, kind, value, module)
            select $1, kind, value, module from unnest($2, $3, $4) as derived (kind, value, module)
            """);
        Add(command.Parameters, organisation);
        Add(command.Parameters, rows.Select(row => Words.Of(row.identifier.Kind)));
        Add(command.Parameters, rows.Select(row => row.identifier.Value));
        Add(command.Parameters, rows.Select(row => row.ModuleId));
        return command;
    }

    private static void Add(NpgsqlParameterCollection parameters, string value) =>
        parameters.Add(new NpgsqlParameter<string> { TypedValue = value });

    private static void Add<T>(NpgsqlParameterCollection parameters, IEnumerable<T> column) =>
        parameters.Add(new NpgsqlParameter<T[]> { TypedValue = [.. column] });
}
