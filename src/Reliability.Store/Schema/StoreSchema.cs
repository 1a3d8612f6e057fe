using Weasel.Core;
using Weasel.Postgresql;
using Weasel.Postgresql.Tables;

namespace Reliability.Store.Schema;

/// <summary>
/// Our own tables beside the log. Organisation comes first in every key but that of <c>posted_event</c>, whose ids are made
/// from it. All but <c>commit_window</c> and uploads can be made anew from the log; uploads go after a while.
/// </summary>
internal static class StoreSchema
{
    /// <summary>How many window numbers a process takes at a time.</summary>
    public const int WindowNumbersTaken = 1000;

    /// <summary>
    /// The condition on module states that leaves retired modules out, in the words of the index that holds the others.
    /// </summary>
    public const string NotRetired = "state <> 'retired'";

    public static IEnumerable<ISchemaObject> Objects(string schema)
    {
        yield return new Sequence($"{schema}.commit_window_number");
        yield return PostedEvent(schema);
        yield return CommitWindow(schema);
        yield return ModuleModel(schema);
        yield return AliasChange(schema);
        yield return ModuleReadings(schema);
        yield return ModuleState(schema);
        yield return ModuleIdentifier(schema);
        yield return ModuleHost(schema);
        yield return Lives(schema);
        yield return LivesVersion(schema);
        yield return Upload(schema);
        yield return RejectedRow(schema);
    }

    /// <summary>
    /// Ids of all events ever posted, with a hash of what each says and the commit it came in: what makes posting
    /// exactly-once.
    /// </summary>
    private static Table PostedEvent(string schema)
    {
        var table = new Table($"{schema}.posted_event");
        table.AddColumn("event_id", "uuid").AsPrimaryKey();
        table.AddColumn("body_hash", "bigint").NotNull();
        table.AddColumn("window_number", "bigint").NotNull();
        return table;
    }

    /// <summary>The position in the log of the last event of each commit.</summary>
    private static Table CommitWindow(string schema)
    {
        var table = new Table($"{schema}.commit_window");
        table.AddColumn("organisation", "text").AsPrimaryKey();
        table.AddColumn("window_number", "bigint").AsPrimaryKey();
        table.AddColumn("position", "bigint").NotNull();
        table.AddColumn("catalogue_version", "bigint").NotNull();
        return table;
    }

    /// <summary>The catalogue as it stands, written in the transaction that appends to its streams.</summary>
    private static Table ModuleModel(string schema)
    {
        var table = new Table($"{schema}.module_model");
        table.AddColumn("organisation", "text").AsPrimaryKey();
        table.AddColumn("model", "text").AsPrimaryKey();
        table.AddColumn("version", "bigint").NotNull();
        table.AddColumn("position", "bigint").NotNull();
        table.AddColumn("create_time", "timestamp with time zone").NotNull();
        table.AddColumn("update_time", "timestamp with time zone").NotNull();
        table.AddColumn("body", "json").NotNull();
        return table;
    }

    /// <summary>Readings by module: one row a module and run of the log, behind whose floor the run begins.</summary>
    private static Table ModuleReadings(string schema)
    {
        var table = new Table($"{schema}.module_readings");
        table.AddColumn("organisation", "text").AsPrimaryKey();
        table.AddColumn("module", "text").AsPrimaryKey();
        table.AddColumn("floor_position", "bigint").AsPrimaryKey();
        table.AddColumn("ceiling_position", "bigint").NotNull();
        table.AddColumn("readings", "bytea").NotNull();
        return table;
    }

    /// <summary>Every alias created or deleted, written in the transaction that appends to its stream.</summary>
    private static Table AliasChange(string schema)
    {
        var table = new Table($"{schema}.alias_change");
        table.AddColumn("organisation", "text").AsPrimaryKey();
        table.AddColumn("position", "bigint").AsPrimaryKey();
        table.AddColumn("alias", "text").NotNull();
        table.AddColumn("kind", "text").NotNull();
        table.AddColumn("alternate", "text").NotNull();
        table.AddColumn("primary_name", "text");
        table.AddColumn("record_time", "timestamp with time zone").NotNull();
        return table;
    }

    /// <summary>One row a module: what lists filter by, and the whole summary.</summary>
    private static Table ModuleState(string schema)
    {
        var table = new Table($"{schema}.module_state");
        table.AddColumn("organisation", "text").AsPrimaryKey();
        table.AddColumn("module", "text").AsPrimaryKey();
        table.AddColumn("model", "text");
        table.AddColumn("models_named", "text[]").NotNull();
        table.AddColumn("state", "text").NotNull();
        table.AddColumn("site", "text");
        table.AddColumn("host_device", "text");
        table.AddColumn("host_model", "text");
        table.AddColumn("lot", "text");
        table.AddColumn("refurbishment_count", "integer");
        table.AddColumn("refurbisher", "text");
        table.AddColumn("position", "bigint").NotNull();
        table.AddColumn("catalogue_version", "bigint").NotNull();
        table.AddColumn("summary", "json").NotNull();
        // The spellings that its record holds, as typed; the last change of an alias that touches it; and for an id that was
        // found to be another's, which one: such a row is no module of its own and has no lives.
        table.AddColumn("spellings_named", "text[]").NotNull().DefaultValueByExpression("'{}'");
        table.AddColumn("alias_version", "bigint").NotNull().DefaultValue(0);
        table.AddColumn("joined_to", "text");
        // With what further readings can be taken in without the record, while they follow on it plainly.
        table.AddColumn("continuation", "json");
        table.Indexes.Add(new IndexDefinition("module_state_model") { Columns = ["organisation", "model"] });
        table.Indexes.Add(new IndexDefinition("module_state_in_use")
        {
            Columns = ["organisation", "module"],
            Predicate = NotRetired,
        });
        return table;
    }

    /// <summary>Modules by serial number, UDI and asset number.</summary>
    private static Table ModuleIdentifier(string schema)
    {
        var table = new Table($"{schema}.module_identifier");
        table.AddColumn("organisation", "text").AsPrimaryKey();
        table.AddColumn("kind", "text").AsPrimaryKey();
        table.AddColumn("value", "text").AsPrimaryKey();
        table.AddColumn("module", "text").AsPrimaryKey();
        table.Indexes.Add(new IndexDefinition("module_identifier_module") { Columns = ["organisation", "module"] });
        return table;
    }

    /// <summary>Modules by the records of hosts that they were fitted in while the host's meter counted.</summary>
    private static Table ModuleHost(string schema)
    {
        var table = new Table($"{schema}.module_host");
        table.AddColumn("organisation", "text").AsPrimaryKey();
        table.AddColumn("host", "text").AsPrimaryKey();
        table.AddColumn("module", "text").AsPrimaryKey();
        // In which time all its stays there lie; without a beginning nothing is known of them.
        table.AddColumn("fitted_from", "timestamp with time zone");
        table.AddColumn("fitted_to", "timestamp with time zone");
        table.Indexes.Add(new IndexDefinition("module_host_module") { Columns = ["organisation", "module"] });
        return table;
    }

    /// <summary>One row a life: attributes at its start that cohorts filter by, its outcome, and the whole life.</summary>
    private static Table Lives(string schema)
    {
        var table = new Table($"{schema}.lives");
        table.AddColumn("organisation", "text").AsPrimaryKey();
        table.AddColumn("module", "text").AsPrimaryKey();
        table.AddColumn("number", "integer").AsPrimaryKey();
        table.AddColumn("model", "text").NotNull();
        table.AddColumn("refurbishment_count", "integer").NotNull();
        table.AddColumn("refurbisher", "text");
        table.AddColumn("site", "text");
        table.AddColumn("host_model", "text");
        table.AddColumn("lot", "text");
        table.AddColumn("start_time", "timestamp with time zone").NotNull();
        table.AddColumn("outcome", "text");
        table.AddColumn("entry_hours", "double precision").NotNull();
        table.AddColumn("lower_hours", "double precision");
        table.AddColumn("upper_hours", "double precision");
        table.AddColumn("failure_mode", "text");
        table.AddColumn("exclusion", "text");
        table.AddColumn("flagged", "boolean").NotNull();
        table.AddColumn("position", "bigint").NotNull();
        table.AddColumn("catalogue_version", "bigint").NotNull();
        table.AddColumn("life", "json").NotNull();
        // What samples take of a life beside the above. Without a value in rows of before these columns, until they are derived again.
        table.AddColumn("end_time", "timestamp with time zone");
        table.AddColumn("in_service", "boolean");
        table.AddColumn("rated_hours", "double precision");
        table.AddColumn("ambiguities", "text");
        table.Indexes.Add(new IndexDefinition("lives_model") { Columns = ["organisation", "model", "start_time"] });
        return table;
    }

    /// <summary>One row an organisation, another value with every change of its lives: what was made of them holds while it stands.</summary>
    private static Table LivesVersion(string schema)
    {
        var table = new Table($"{schema}.lives_version");
        table.AddColumn("organisation", "text").AsPrimaryKey();
        table.AddColumn("version", "uuid").NotNull();
        return table;
    }

    /// <summary>Files that were uploaded: what became of each. The file itself is not kept.</summary>
    private static Table Upload(string schema)
    {
        var table = new Table($"{schema}.upload");
        table.AddColumn("organisation", "text").AsPrimaryKey();
        table.AddColumn("upload", "uuid").AsPrimaryKey();
        table.AddColumn("expire_time", "timestamp with time zone").NotNull();
        table.AddColumn("summary", "bytea").NotNull();
        return table;
    }

    /// <summary>Their rows that were rejected, as they stood in the file, and why.</summary>
    private static Table RejectedRow(string schema)
    {
        var table = new Table($"{schema}.rejected_row");
        table.AddColumn("organisation", "text").AsPrimaryKey();
        table.AddColumn("upload", "uuid").AsPrimaryKey();
        table.AddColumn("number", "integer").AsPrimaryKey();
        table.AddColumn("body", "bytea").NotNull();
        return table;
    }
}
