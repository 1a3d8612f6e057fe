using System.Text;
using Npgsql;
using Reliability.History.Events;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Notes;

/// <summary>An erased note is in no row of the database, and nothing else has changed.</summary>
public sealed class NoteTests(SharedServer server) : StoreTest(server)
{
    private const string Note = "knocked over by Unmistakable Somebody", Kept = "a note that stays";

    private static IReadOnlyList<RecordedEvent> Events =>
    [
        Scenario.Registered("m-1"), Scenario.Installed("m-1") with { Note = Kept },
        Scenario.Read("m-1", 20, 400) with { Note = Note }, Scenario.Failed("m-1", 45, 900) with { Note = Note },
    ];

    [Fact]
    public async Task It_is_nowhere_in_the_database_and_lives_stay_byte_identical()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync(Events);
        var before = await DerivedRowsAsync();
        Assert.Contains("mt_events", await TablesThatHoldAsync(Note));

        var read = await EraseAsync(Events[2]);
        var failed = await EraseAsync(Events[3]);

        Assert.NotNull(read!.EraseTime);
        await WaitAsync(failed!.Revision);
        Assert.Empty(await TablesThatHoldAsync(Note));
        Assert.Equal(["mt_events"], await TablesThatHoldAsync(Kept));
        Assert.Equal(before, await DerivedRowsAsync());
        await Store.RebuildAsync(Cancellation);
        Assert.Equal(before, await DerivedRowsAsync());
    }

    [Fact]
    public async Task A_repost_with_the_note_is_a_duplicate_and_does_not_bring_it_back()
    {
        await RecordAndWaitAsync(Events);
        await EraseAsync(Events[2]);
        await EraseAsync(Events[3]);

        var outcomes = await RecordAsync(Events);

        Assert.All(outcomes, outcome => Assert.True(Assert.IsType<RecordOutcome.Receipt>(outcome).Duplicate));
        Assert.Empty(await TablesThatHoldAsync(Note));
        Assert.Equal(4, (await Organisation.Modules.GetAsync("m-1", null, Cancellation))!.Record.Events.Count);
    }

    [Fact]
    public async Task The_record_shows_when_it_was_erased_and_erasing_again_changes_nothing()
    {
        await RecordAndWaitAsync(Events);
        var first = (await EraseAsync(Events[3]))!;
        var count = await ScalarAsync<long>("select count(*) from mt_events");

        Assert.Equal(first, await EraseAsync(Events[3]));

        Assert.Equal(count, await ScalarAsync<long>("select count(*) from mt_events"));
        var shown = (await Organisation.Modules.ListEventsAsync("m-1", null, 100, null, Cancellation))!.Items;
        Assert.Equal(4, shown.Count);
        var erased = shown.Single(e => e.Event.EventId == Events[3].EventId);
        Assert.Equal((null, first.EraseTime), (erased.Event.Note, erased.NoteEraseTime));
        Assert.All(shown.Where(e => e.Event.EventId != Events[3].EventId), e => Assert.Null(e.NoteEraseTime));
        Assert.Equal(Kept, shown.Single(e => e.Event.EventId == Events[1].EventId).Event.Note);
    }

    [Fact]
    public async Task A_note_that_version_1_stored_is_erased_as_well()
    {
        await RecordAndWaitAsync(Events);
        var stored = Events[3];
        await ScalarAsync<object>(
            $$"""
            with e as (update mt_events set type = 'failed_v1', data =
              '{"body": {"mode": "bearing", "readingIs": "moment", "readingHours": 900}, "note": "{{Note}}",
                "source": "{{stored.Source}}", "originalId": "{{stored.OriginalId}}", "occurrence":
                {"latest": "2024-02-15T08:00:00+00:00", "earliest": "2024-02-15T08:00:00+00:00", "precision": "instant"} }'
              where id = '{{stored.EventId}}') select 1
            """);
        await EraseAsync(Events[2]);
        Assert.NotEmpty(await TablesThatHoldAsync(Note));

        await EraseAsync(stored);

        Assert.Empty(await TablesThatHoldAsync(Note));
        Assert.Equal("failed_v1", await ScalarAsync<string>($"select type from mt_events where id = '{stored.EventId}'"));
    }

    [Fact]
    public async Task An_event_without_a_note_and_one_that_is_not_there_are_told_apart()
    {
        await RecordAndWaitAsync([.. Events, Scenario.Read("m-2", 1, 5), Scenario.Read("m-1", 30, 500)]);

        Assert.Null((await EraseAsync(Events[0]))!.EraseTime);
        // A reading without a note stands in a sheet.
        Assert.Null((await EraseAsync(Scenario.Read("m-1", 30, 500)))!.EraseTime);
        Assert.Null(await Organisation.Notes.EraseAsync("m-1", Scenario.Source, "unknown", Cancellation));
        Assert.Null(await Organisation.Notes.EraseAsync("m-2", Scenario.Source, Events[3].OriginalId, Cancellation));
        Assert.Equal(2L, await ScalarAsync<long>($"select count(*) from mt_events where data::text like '%{Note}%'"));
    }

    [Fact]
    public async Task Two_who_erase_one_note_at_once_erase_it_once()
    {
        await RecordAndWaitAsync(Events);

        var erasures = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => EraseAsync(Events[3])));

        Assert.Single(erasures.Distinct());
        Assert.Equal(1L, await ScalarAsync<long>("select count(*) from mt_events where type = 'note_erased_v1'"));
    }

    private Task<Reliability.Store.Notes.NoteErasure?> EraseAsync(RecordedEvent recorded) =>
        Organisation.Notes.EraseAsync(recorded.ModuleId, recorded.Source, recorded.OriginalId, Cancellation);

    /// <summary>The tables of the schema with a row that holds the text: as text, or as bytes.</summary>
    private async Task<IReadOnlyList<string>> TablesThatHoldAsync(string text)
    {
        await using var connection = new NpgsqlConnection(ConnectionString);
        await connection.OpenAsync(Cancellation);
        var tables = new List<string>();
        await using (var list = new NpgsqlCommand(
            "select tablename from pg_tables where schemaname = current_schema() order by 1", connection))
        await using (var reader = await list.ExecuteReaderAsync(Cancellation))
            while (await reader.ReadAsync(Cancellation)) tables.Add(reader.GetString(0));
        Assert.True(tables.Count > 8, "The tables of the store are not found.");
        var holding = new List<string>();
        foreach (var table in tables)
        {
            await using var search = new NpgsqlCommand(
                $"select exists (select from {table} t where strpos(t::text, $1) > 0 or strpos(t::text, $2) > 0)", connection)
            {
                Parameters =
                {
                    new NpgsqlParameter<string> { TypedValue = text },
                    new NpgsqlParameter<string> { TypedValue = Convert.ToHexStringLower(Encoding.UTF8.GetBytes(text)) },
                },
            };
            if ((bool)(await search.ExecuteScalarAsync(Cancellation))!) holding.Add(table);
        }
        return holding;
    }
}
