using System.Text.Json;
using Npgsql;
using Reliability.History.Events;
using Reliability.Store.Readings;
using Xunit;

namespace Reliability.Store.Tests.Readings;

/// <summary>
/// Sheets once stored are stored for good. The file beside this test holds what version 1 wrote, in hexadecimal; it is never
/// changed, only added to.
/// </summary>
public sealed class CommittedSheetTests(SharedServer server) : StoreTest(server)
{
    private static readonly DateTimeOffset Time = new(2024, 3, 9, 7, 30, 15, 250, TimeSpan.Zero);

    private static readonly Occurrence Day = Occurrence.OnDay(
        new DateTimeOffset(2024, 3, 8, 23, 0, 0, TimeSpan.Zero), new DateTimeOffset(2024, 3, 9, 23, 0, 0, TimeSpan.Zero),
        "Europe/Berlin");

    private static string Committed =>
        File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Readings", "readings-v1.hex")).ReplaceLineEndings("");

    /// <summary>Readings with every field given and left out, in every way in which they are written.</summary>
    private static IReadOnlyList<RecordedEvent> Readings { get; } =
    [
        Reading("host/ventilator-7", "host-1", "cmms", null, MeterOwner.Host, Occurrence.AtInstant(Time), 5000),
        Reading("m-every", "every-1", "cmms", "actor-3", null, Occurrence.AtInstant(Time), 1234.5),
        Reading("m-every", "every-2", "meters", null, MeterOwner.Module, Day, 1240.125),
        Reading("m-every", "0b9a4a4e-5e1d-4f53-9d0e-1f0a2b3c4d5e", "meters", null, null, Occurrence.AtInstant(Time.AddTicks(1)), 1.0 / 3),
        Reading("m-every", "every-3", "cmms", null, null, Day, 1300) with
        {
            Body = new RunHoursReadV1
            {
                Readings =
                [
                    new MeterReading { Earliest = Day.Earliest, Latest = Day.Latest, Hours = 1300 },
                    MeterReading.AtInstant(Time.AddDays(1), 1324.25),
                ],
            },
        },
        Reading("m-other", "\u6c34-4", "cmms", "actor-4", null, Occurrence.AtInstant(Time.AddMinutes(-7)), 0),
    ];

    [Fact]
    public void What_is_written_today_is_what_version_1_wrote() =>
        Assert.Equal(Committed, Convert.ToHexStringLower(ReadingSheet.Of(Readings).Bytes));

    [Fact]
    public async Task Bytes_that_version_1_wrote_are_read_from_the_log()
    {
        await using (var connection = new NpgsqlConnection(ConnectionString))
        {
            await connection.OpenAsync(Cancellation);
            await using var batch = new NpgsqlBatch(connection);
            batch.BatchCommands.Add(new NpgsqlBatchCommand(
                "insert into mt_streams (id, version, tenant_id, is_archived) values ('readings/x', 1, 'default', false)"));
            batch.BatchCommands.Add(new NpgsqlBatchCommand(
                """
                insert into mt_events (seq_id, id, stream_id, version, data, bdata, type, tenant_id, is_archived)
                values (nextval('mt_events_sequence'), $1, 'readings/x', 1, '{}', $2, 'readings_v1', 'default', false)
                """)
            {
                Parameters =
                {
                    new NpgsqlParameter<Guid> { TypedValue = Guid.NewGuid() },
                    new NpgsqlParameter<byte[]> { TypedValue = Convert.FromHexString(Committed) },
                },
            });
            await batch.ExecuteNonQueryAsync(Cancellation);
        }

        var record = (await Organisation.Modules.GetAsync("m-every", null, Cancellation))!.Record;

        Assert.Equal(
            Readings.Where(reading => reading.ModuleId == "m-every").Select(Text), record.Events.Select(Text));
    }

    /// <summary>All that was posted, as text; record time is the database's.</summary>
    private static string Text(RecordedEvent recorded) => JsonSerializer.Serialize(
        recorded with { RecordTime = default }, HistoryJsonContext.Default.RecordedEvent);

    private static RecordedEvent Reading(
        string key, string id, string source, string? actor, MeterOwner? meter, Occurrence occurrence, double hours) => new()
        {
            EventId = EventIdentity.EventId(ReliabilityStore.DefaultOrganisation, source, id),
            OriginalId = id,
            Source = source,
            ModuleId = key,
            Occurrence = occurrence,
            ActorId = actor,
            Body = new RunHoursReadV1
            {
                Meter = meter,
                Readings =
                [
                    new MeterReading { Earliest = occurrence.Earliest, Latest = occurrence.Latest, Hours = hours },
                ],
            },
        };
}
