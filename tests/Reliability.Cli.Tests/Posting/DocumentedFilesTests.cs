using Reliability.Cli.Catalog;
using Reliability.Cli.Posting;
using Reliability.Cli.Replacements;
using Reliability.Cli.Samples;
using Reliability.Cli.Tests.Files;
using Reliability.Files.EventFiles;
using Reliability.Files.Times;
using Reliability.V1;
using Xunit;

namespace Reliability.Cli.Tests.Posting;

/// <summary>What docs/files.md says of files holds.</summary>
public sealed class DocumentedFilesTests : IDisposable
{
    private static readonly string Page = File.ReadAllText(Repository.Path("docs/files.md"));

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task The_example_files_are_read_without_a_problem()
    {
        string[] examples = [.. Page.Split("```csv\n").Skip(1).Select(block => block[..block.IndexOf("```", StringComparison.Ordinal)])];
        CancellationToken cancellation = TestContext.Current.CancellationToken;
        Assert.Equal(5, examples.Length);
        foreach ((string example, int count) in examples[..3].Zip([3, 3, 1]))
        {
            Assert.True(ZoneName.TryFind("Europe/London", out ZoneName london));
            FileDefaults defaults = new("quennick-maintenance", london, null);
            await using PostFile file = await PostFile.OpenAsync(_folder.Write("example.csv", example), null, defaults, mapping: null, cancellation);
            List<FileRow> rows = await file.Events.RowsAsync(cancellation).ToListAsync(cancellation);
            Assert.Equal(count, rows.Count);
            Assert.Empty(rows.SelectMany(row => row.Problems));
        }
        Assert.Equal(2, (await PositionSheet.ReadAsync(_folder.Write("positions.csv", examples[4]), new(), cancellation)).Positions.Count);
        Assert.Equal(3, (await SampleSheet.ReadAsync(_folder.Write("plain.csv", examples[3]), "sample", new(), cancellation)).Sample.Observations.Count);
    }

    [Fact]
    public void The_example_of_a_module_model_is_read_whole()
    {
        string example = Page.Split("```json module models\n")[1].Split("```")[0];

        CreateModuleModelRequest request = Assert.Single(ModelFile.Read(_folder.Write("models.json", example), id: null));

        Assert.Equal("theatre-lamp", request.ModuleModelId);
        Assert.Equal([1500, 1200], request.ModuleModel.RatedLives.Select(life => life.RatedHours));
        Assert.Equal(40_000, request.ModuleModel.OutputThreshold.MeasuredValue);
        Assert.Equal("COOL_DOWN", Assert.Single(request.ModuleModel.Cautions).Code);
    }
}
