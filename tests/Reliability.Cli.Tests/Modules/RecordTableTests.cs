using Google.Protobuf.WellKnownTypes;
using Reliability.Cli.Modules;
using Reliability.Cli.Tests.Terminals;
using Reliability.V1;
using Xunit;

namespace Reliability.Cli.Tests.Modules;

public sealed class RecordTableTests
{
    [Fact]
    public void A_record_is_told_without_notes_and_actors()
    {
        MemoryTerminal terminal = new();
        RecordTable.Write(terminal.Terminal,
        [
            new RecordedEvent
            {
                Event = new ModuleEvent
                {
                    EventId = "e-7",
                    Source = "quennick",
                    OccurTime = Timestamp.FromDateTime(new DateTime(2024, 3, 5, 12, 0, 0, DateTimeKind.Utc)),
                    OccurPrecision = OccurPrecision.Day,
                    Note = "private note",
                    ActorId = "actor-9",
                    Failed = new Failed { FailureMode = "no light", ReadingHours = 180 },
                },
                Standing = EventStanding.LeftOut,
                ReasonText = "The reading does not fit.",
            },
        ]);
        Assert.Equal(
            ["2024-03-05", "Failed", "no light, found then, reading 180 h", "quennick", "e-7", "left out: The reading does not fit."],
            terminal.Row("2024-03-05"));
        Assert.DoesNotContain("private", terminal.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("actor", terminal.Out, StringComparison.Ordinal);
    }

    public static TheoryData<string, string> Texts() => new()
    {
        { """{"registered": {"moduleModel": "moduleModels/lamp", "condition": {"refurbishmentCount": 1, "refurbisher": "Vennick Works"}, "ageHours": 0}}""", "lamp, refurbished (1) by Vennick Works, age 0 h" },
        { """{"registered": {"moduleModel": "moduleModels/lamp"}}""", "lamp, new, age unknown" },
        { """{"installed": {"hostDevice": "cot-7", "site": "Velsham Children's", "readingHours": 1200}}""", "cot-7, Velsham Children's, reading 1,200 h" },
        { """{"runHoursRead": {"meter": "METER_HOST", "readings": [{"hours": 5}, {"hours": 9, "readTime": "2024-03-05T12:00:00Z"}]}}""", "2 readings up to 9 h, until 2024-03-05, host's meter" },
        { """{"outputMeasured": {"fraction": 0.71}}""", "71 % of new" },
        { """{"removed": {"reason": "REMOVAL_REASON_LOW_OUTPUT", "readingHours": 900}}""", "low output, reading 900 h" },
        { """{"refurbished": {"refurbisher": "Second Turn Bench", "renewal": "WEARING_PART_RENEWAL_RENEWED"}}""", "Second Turn Bench, wearing part renewed" },
        { """{"retracted": {"targetSource": "quennick", "targetEventId": "e-1"}}""", "takes back quennick e-1" },
        { """{"lifeReported": {"moduleModel": "moduleModels/lamp", "startTime": "2023-01-01T12:00:00Z", "endTime": "2024-01-01T12:00:00Z", "ageAtEnd": 1830, "ageLastWorking": 1700, "outcome": "LIFE_OUTCOME_FAILED"}}""", "lamp, new, 2023-01-01 to 2024-01-01, failed between 1,700 h and 1,830 h" },
        { """{"lifeReported": {"moduleModel": "moduleModels/lamp", "ageAtEnd": 1830, "outcome": "LIFE_OUTCOME_SURVIVED", "removalReason": "REMOVAL_REASON_PLANNED"}}""", "lamp, new, – to –, survived at 1,830 h, planned" },
    };

    [Theory]
    [MemberData(nameof(Texts))]
    public void Events_are_told_in_words(string posted, string expected)
    {
        Assert.Equal(expected, EventText.Of(ModuleEvent.Parser.ParseJson(posted)));
    }

    [Theory]
    [InlineData("serial:QX-\"1\\", "serial_number = \"QX-\\\"1\\\\\"")]
    [InlineData("asset:7", "asset_number = \"7\"")]
    [InlineData("lamp-1", null)]
    [InlineData("modules/lamp-1", null)]
    public void Identifiers_become_filters(string text, string? expected) => Assert.Equal(expected, ModuleNames.Filter(text));
}
