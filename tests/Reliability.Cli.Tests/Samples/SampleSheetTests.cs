using Reliability.Cli.Samples;
using Reliability.Cli.Terminals;
using Reliability.Cli.Tests.Files;
using Reliability.Files.LifeFiles;
using Reliability.V1;
using Xunit;

namespace Reliability.Cli.Tests.Samples;

public sealed class SampleSheetTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Outcomes_in_words_become_observations()
    {
        InlineSample sample = Read("outcome,hours,lower_hours,upper_hours,entry_hours,count,failure_mode\nfailed,54,,,,,\nsurvived,500,,,100,10,\nbetween,,300,480,,,no light\n");
        InlineSample expected = new()
        {
            Observations =
            {
                new LifeObservation { FailureHours = 54 },
                new LifeObservation { SurvivalHours = 500, EntryHours = 100, Count = 10 },
                new LifeObservation { FailureInterval = new HoursInterval { LowerHours = 300, UpperHours = 480 }, FailureMode = "no light" },
            },
        };
        Assert.Equal(expected, sample);
    }

    [Fact]
    public void Whether_a_number_makes_sense_is_for_the_service_to_say()
    {
        Assert.Equal(-5, Assert.Single(Read("outcome,hours\nfailed,-5\n").Observations).FailureHours);
    }

    [Fact]
    public void All_problems_are_told_with_line_and_column()
    {
        string[] lines = Refusal("outcome,hours,lower_hours\nfailed,x,\nsurvived,,\nR,7,\nfailed,5,4\nfailed,6,\n").Split('\n');
        Assert.Equal(4, lines.Length);
        Assert.EndsWith("line 2: hours: \"x\" is not a number", lines[0], StringComparison.Ordinal);
        Assert.EndsWith("line 3: hours: a value is needed", lines[1], StringComparison.Ordinal);
        Assert.EndsWith("line 4: outcome: \"R\" is none of: failed, survived, between", lines[2], StringComparison.Ordinal);
        Assert.EndsWith("line 5: lower_hours: a life that failed has no such value; leave it empty", lines[3], StringComparison.Ordinal);
    }

    [Fact]
    public void A_header_alone_is_no_sample()
    {
        Assert.EndsWith("there are no rows below the header.", Refusal("outcome,hours\n"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Of_exported_lives_those_left_out_of_samples_are_left_out_and_told()
    {
        string header = string.Join(',', ExportedLives.Columns);
        string rest = ",module-1,1,blower,new,0,,,,,2024-01-01T00:00:00Z,2024-02-01T00:00:00Z,no,failed,r\n";
        string path = _folder.Write("lives.csv", $"{header}\nfailed,54,,,0,,,{rest}failed,60,,,0,,ENTRY_AGE_UNKNOWN,{rest},,,,,,AGE_UNKNOWN,{rest}");

        (InlineSample sample, string name) = await SampleSheet.ReadAsync(path, "sample", new(), TestContext.Current.CancellationToken);

        Assert.Equal(54, Assert.Single(sample.Observations).FailureHours);
        Assert.Equal("lives (2 excluded left out)", name);
        Assert.EndsWith(
            "(column exclusion_reason).", Refusal($"{header}\nfailed,60,,,0,,ENTRY_AGE_UNKNOWN,{rest}"), StringComparison.Ordinal);
    }

    private InlineSample Read(string text) => SampleSheet.ReadAsync(_folder.Write("sample.csv", text), "sample", new(), CancellationToken.None).GetAwaiter().GetResult().Sample;

    private string Refusal(string text) => Assert.Throws<UsageException>(() => Read(text)).Message;
}
