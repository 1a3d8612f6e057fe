using System.Text;
using Google.Protobuf;
using Reliability.DemoData.Records;
using Reliability.DemoData.Scenario;
using Reliability.DemoData.Simulation;
using Reliability.V1;

namespace Reliability.DemoData.Tests;

public sealed class DemoFilesTests
{
    private static readonly Network Net = Network.Brindlemoor;

    private static readonly IReadOnlyDictionary<string, string> Files = DemoFiles.Of(Net, DemoFiles.CommittedSeed);

    public static TheoryData<string> Names => [.. Files.Keys];

    public static TheoryData<string> EventFiles => [.. Files.Keys.Where(name => name.EndsWith(".jsonl", StringComparison.Ordinal))];

    [Theory]
    [MemberData(nameof(Names))]
    public void Committed_bytes_are_those_that_the_generator_writes(string name) =>
        Assert.True(
            DemoFiles.EncodingOf(name).GetBytes(Files[name]).AsSpan().SequenceEqual(File.ReadAllBytes(CommittedFiles.PathOf(name))),
            $"{name} differs: run the generator's write command and commit, or undo the change.");

    [Fact]
    public void Another_run_writes_the_same_and_another_seed_does_not()
    {
        var again = DemoFiles.Of(Net, DemoFiles.CommittedSeed);
        var other = DemoFiles.Of(Net, DemoFiles.CommittedSeed + 1);

        Assert.Equal(Files, again);
        Assert.NotEqual(Files["events-quennick.jsonl"], other["events-quennick.jsonl"]);
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Every_file_is_moderate_and_says_that_it_is_invented(string name)
    {
        var text = Files[name];

        Assert.InRange(Encoding.UTF8.GetByteCount(text), 1, 1 << 20);
        Assert.Contains("nvented", text[..Math.Min(400, text.Length)], StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(EventFiles))]
    public void Events_are_in_order_with_ids_of_their_own_and_none_is_later_than_the_cutoff(string name)
    {
        var events = Read(name);

        Assert.Equal(events.Count, events.Select(item => item.EventId).Distinct().Count());
        Assert.All(events, item => Assert.True(item.OccurTime.ToDateTime() <= Net.CutoffTime));
        Assert.All(events.Zip(events.Skip(1)), pair => Assert.True(pair.First.OccurTime <= pair.Second.OccurTime));
    }

    [Theory]
    [MemberData(nameof(EventFiles))]
    public void Few_readings_are_mistyped_and_those_ten_times_too_high(string name)
    {
        var readings = Read(name).Where(item => item.EventCase == ModuleEvent.EventOneofCase.RunHoursRead).ToList();
        // No meter of the network shows 60,000 h before it is changed.
        var tooHigh = readings.Count(item => item.RunHoursRead.Readings[0].Hours > 60_000);

        Assert.InRange(tooHigh, 1, readings.Count / 50);
    }

    [Fact]
    public void The_family_without_failures_is_in_one_hospital_and_is_changed_at_rated_hours()
    {
        var (model, site) = Network.WithoutFailures;
        var lives = FleetSimulation.Run(Net, DemoFiles.CommittedSeed)
            .Where(life => life.IsRecorded && life.Module.Family.ModelId == model).ToList();

        Assert.All(lives, life => Assert.Equal(site, life.Hospital.Name));
        Assert.All(lives, life => Assert.False(life.Outcome is LifeEnd.FailedAtOnce or LifeEnd.FoundFailed));
        Assert.True(lives.Count(life => life.Outcome == LifeEnd.RatedHours) >= 30);
    }

    [Fact]
    public void The_catalogue_reads_back_as_requests()
    {
        var text = File.ReadAllText(CommittedFiles.PathOf(DemoFiles.CatalogueName));
        using var document = System.Text.Json.JsonDocument.Parse(text);
        var requests = document.RootElement.EnumerateArray()
            .Select(item => CreateModuleModelRequest.Parser.ParseJson(item.GetRawText())).ToList();

        Assert.Equal(Net.Families.Select(family => family.ModelId), requests.Select(request => request.ModuleModelId));
        Assert.All(requests, request => Assert.NotEmpty(request.ModuleModel.Cautions));
    }

    private static List<ModuleEvent> Read(string name) =>
    [
        .. File.ReadLines(CommittedFiles.PathOf(name)).Select(line => JsonParser.Default.Parse<ModuleEvent>(line)),
    ];
}
