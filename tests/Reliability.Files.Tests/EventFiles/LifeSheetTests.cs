using Google.Protobuf.WellKnownTypes;
using Reliability.Files.EventFiles;
using Reliability.V1;
using Xunit;

namespace Reliability.Files.Tests.EventFiles;

public sealed class LifeSheetTests
{
    private const string Header =
        "module_model,serial_number,asset_number,refurbishment_count,refurbisher,site,host_model,lot,start_date,end_date,"
        + "age_at_observation,age_at_end,age_last_working,failure_moment,outcome,removal_reason,failure_mode,in_service,complete_from";

    [Fact]
    public void A_full_row_becomes_a_life_with_every_field()
    {
        FileRow row = Assert.Single(EventFileText.Read(
            "lives.csv",
            Header + ",event_id,source,zone,note\n"
            + "phototherapy-lamp,QX-1042,A77,1,Second Turn Bench,Quennick General,cot light,L9,2023-07-01,2024-07-10,12.5,1830,1700,no,failed,low output,no light,no,2023-01-01,row-1,sheet-2024,Europe/London,checked\n"));
        Assert.Empty(row.Problems);
        Assert.Equal(2, row.Line);
        ModuleEvent expected = new()
        {
            EventId = "row-1",
            Source = "sheet-2024",
            OccurTime = Stamp("2024-07-10T11:00:00Z"),
            OccurPrecision = OccurPrecision.Day,
            Zone = "Europe/London",
            Note = "checked",
            LifeReported = new LifeReported
            {
                ModuleModel = "moduleModels/phototherapy-lamp",
                Identifiers =
                {
                    new Identifier { Kind = IdentifierKind.SerialNumber, Value = "QX-1042" },
                    new Identifier { Kind = IdentifierKind.AssetNumber, Value = "A77" },
                },
                Condition = new Condition { RefurbishmentCount = 1, Refurbisher = "Second Turn Bench" },
                Site = "Quennick General",
                HostModel = "cot light",
                Lot = "L9",
                StartTime = Stamp("2023-07-01T11:00:00Z"),
                EndTime = Stamp("2024-07-10T11:00:00Z"),
                AgeAtObservation = 12.5,
                AgeAtEnd = 1830,
                AgeLastWorking = 1700,
                Outcome = LifeOutcome.Failed,
                RemovalReason = RemovalReason.LowOutput,
                FailureMode = "no light",
                CompleteFrom = Stamp("2023-01-01T00:00:00Z"),
            },
        };
        Assert.Equal(expected, row.Events[0]);
    }

    [Fact]
    public void Empty_cells_stay_absent_and_the_command_line_fills_in()
    {
        FileRow row = Assert.Single(EventFileText.Read(
            "lives.csv",
            Header + "\nmoduleModels/drive,QX-1,,,,,,,2023-07-01,2024-07-10,,1830,,,survived,,,yes,\n",
            EventFileText.Defaults(zone: "Asia/Tokyo", completeFrom: "2023-01-01")));
        Assert.Empty(row.Problems);
        LifeReported life = row.Events[0].LifeReported;
        Assert.False(life.HasAgeAtObservation);
        Assert.False(life.HasAgeLastWorking);
        Assert.Null(life.Condition);
        Assert.True(life.InService);
        Assert.Equal(RemovalReason.Unspecified, life.RemovalReason);
        Assert.Equal("Asia/Tokyo", row.Events[0].Zone);
        Assert.Equal("quennick-maintenance", row.Events[0].Source);
        Assert.Equal(Stamp("2022-12-31T15:00:00Z"), life.CompleteFrom);
        Assert.Equal("moduleModels/drive", life.ModuleModel);
    }

    [Fact]
    public void Times_with_offsets_are_instants()
    {
        FileRow row = Assert.Single(EventFileText.Read(
            "lives.csv", Header + "\ndrive,QX-1,,,,,,,2023-07-01T10:00Z,2024-07-10T08:00:00Z,,1830,,,survived,,,yes,\n"));
        Assert.Equal(OccurPrecision.Instant, row.Events[0].OccurPrecision);
        Assert.Equal(Stamp("2024-07-10T08:00:00Z"), row.Events[0].OccurTime);
    }

    [Theory]
    [InlineData("drive,QX-1,,,,,,,2023-07-01,2024-07-10,,18a,,,survived,,,,", "age_at_end: \"18a\" is not a number")]
    [InlineData("drive,QX-1,,,,,,,2023-07-01,2024-07-10,,\"18,5\",,,survived,,,,", "age_at_end: \"18,5\" is not a number; decimals are set apart by a point, thousands by nothing")]
    [InlineData("drive,QX-1,,,,,,,2023-07-01,2024-07-10,,NaN,,,survived,,,,", "age_at_end: \"NaN\" is not a number")]
    [InlineData("drive,QX-1,,,,,,,2023-07-01,2024-07-10,,1e999,,,survived,,,,", "age_at_end: \"1e999\" is not a number")]
    [InlineData("drive,QX-1,,,,,,,2023-07-01,2024-07-10,,,,,survived,,,,", "age_at_end: a value is needed")]
    [InlineData("drive,QX-1,,1.5,,,,,2023-07-01,2024-07-10,,18,,,survived,,,,", "refurbishment_count: \"1.5\" is not a whole number")]
    [InlineData("drive,QX-1,,,,,,,1.7.2023,2024-07-10,,18,,,survived,,,,", "start_date: \"1.7.2023\" is neither a day such as 2024-03-31 nor a time such as 2024-03-31T08:00:00Z")]
    [InlineData("drive,QX-1,,,,,,,2023-07-01,2024-07-10,,18,,,dead,,,,", "outcome: \"dead\" is none of: failed, survived, between")]
    [InlineData("drive,QX-1,,,,,,,2023-07-01,2024-07-10,,18,,,F,,,,", "outcome: \"F\" is none of: failed, survived, between")]
    [InlineData("drive,QX-1,,,,,,,2023-07-01,2024-07-10,,18,9,,between,,,,", "outcome: a failure between two ages is written as failed, with the lower age in age_last_working")]
    [InlineData("drive,QX-1,,,,,,,2023-07-01,2024-07-10,,18,,maybe,failed,,,,", "failure_moment: \"maybe\" is neither yes nor no")]
    [InlineData("drive,QX-1,,,,,,,2023-07-01,2024-07-10,,18,,,survived,worn,,,", "removal_reason: \"worn\" is none of: failed, low output, rated hours reached, planned, upgrade, recall or safety notice, host retired, loan returned, other")]
    [InlineData("drive,,,,,,,,2023-07-01,2024-07-10,,18,,,survived,,,,", "serial_number: a value is needed here or in asset_number")]
    [InlineData("drive,QX-1,,,,,,,2023-07-01", "the row has 9 values, the header 19 columns")]
    public void A_bad_row_says_column_and_rule(string row, string expected)
    {
        Assert.Equal([expected], Assert.Single(EventFileText.Read("lives.csv", Header + "\n" + row + "\n")).Problems.Select(problem => problem.ToString()));
    }

    [Fact]
    public void All_problems_of_a_row_are_told()
    {
        FileRow row = Assert.Single(EventFileText.Read("lives.csv", Header + "\ndrive,QX-1,,x,,,,,2023,2024-07-10,,abc,,,dead,,,,\n"));
        Assert.Equal(4, row.Problems.Count);
    }

    [Fact]
    public void Ids_come_from_content_and_stay_with_the_row_wherever_it_stands()
    {
        const string A = "drive,QX-1,,,,,,,2023-07-01,2024-07-10,,1830,,,survived,,,yes,";
        const string B = "drive,QX-2,,,,,,,2023-07-01,2024-07-10,,1830,,,survived,,,yes,";
        string[] once = [.. Ids(Header + $"\n{A}\n{B}\n{A}\n")];
        string[] shuffled = [.. Ids($"# another export\n{Header}\n\n{A}\n{A}\n{B}\n")];
        Assert.Equal(3, once.Distinct().Count());
        Assert.Equal([once[0], once[2], once[1]], shuffled);
        Assert.NotEqual(once, Ids(Header + $"\n{A}\n{B}\n{A}\n", EventFileText.Defaults(zone: "Europe/London")));
        Assert.Equal(once, Ids(Header + $"\n{A}\n{B}\n{A}\n", EventFileText.Defaults(source: "another")));
    }

    [Theory]
    [InlineData("module_model,serial_number,start_date,age_at_end,outcome\n", "needs the column end_date")]
    [InlineData("module_model,start_date,end_date,age_at_end,outcome\n", "needs the column serial_number or asset_number")]
    [InlineData("module_model,serial_number,start_date,end_date,age_at_end,outcome,colour\n", "has no column colour")]
    public void A_wrong_header_stops_the_file(string header, string expected)
    {
        FileUnusableException refusal = Assert.Throws<FileUnusableException>(() => EventFileText.Read("lives.csv", header));
        Assert.Contains(expected, refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sheet_without_source_needs_one_from_the_command_line()
    {
        FileUnusableException refusal = Assert.Throws<FileUnusableException>(() =>
            EventFileText.Read("lives.csv", Header + "\n", EventFileText.Defaults(source: "")));
        Assert.Contains("--source", refusal.Message, StringComparison.Ordinal);
    }

    private static string[] Ids(string text, FileDefaults? defaults = null) =>
        [.. EventFileText.Read("lives.csv", text, defaults).Select(row => row.Events[0].EventId)];

    private static Timestamp Stamp(string text) => Timestamp.FromDateTimeOffset(DateTimeOffset.Parse(text, System.Globalization.CultureInfo.InvariantCulture));
}
