using System.Reflection;
using System.Xml.Linq;
using Reliability.Engine;
using Xunit;

namespace Reliability.Architecture.Tests;

/// <summary>Holds the arrows of the house: which project may know which, and which packages it may use.</summary>
public sealed class ArrowTests
{
    // What each project may know directly. A project that is not listed fails the first test, so that a new one is placed
    // on purpose.
    private static readonly Dictionary<string, string[]> Allowed = new()
    {
        ["Reliability.Contracts"] = [],
        ["Reliability.Engine.Abstractions"] = [],
        ["Reliability.Engine"] = ["Reliability.Engine.Abstractions"],
        ["Reliability.Engine.Conformance"] = ["Reliability.Engine", "Reliability.Engine.Abstractions"],
        ["Reliability.Engine.Remote"] = ["Reliability.Engine.Abstractions"],
        ["Reliability.Engine.PlugIns"] = ["Reliability.Engine", "Reliability.Engine.Abstractions"],
        ["Reliability.PlugInCheck"] = ["Reliability.Engine.Conformance", "Reliability.Engine.PlugIns", "Reliability.Engine.Remote", "Reliability.Engine.Abstractions"],
        ["Reliability.History"] = [],
        ["Reliability.Analysis"] = ["Reliability.History", "Reliability.Engine.Abstractions"],
        ["Reliability.Store"] = ["Reliability.History"],
        ["Reliability.Plots"] = [],
        ["Reliability.Files"] = ["Reliability.Contracts"],
        ["Reliability.Cli"] = ["Reliability.Contracts", "Reliability.Files", "Reliability.Plots"],
        ["Reliability.Service"] =
        [
            "Reliability.Contracts", "Reliability.Analysis", "Reliability.History", "Reliability.Engine.PlugIns",
            "Reliability.Engine.Remote", "Reliability.Engine.Abstractions", "Reliability.Store", "Reliability.Files",
        ],
    };

    // Packages that only the named projects may use: nothing below Service knows gRPC, nothing but Store knows Marten.
    private static readonly (string Prefix, string[] Users)[] Reserved =
    [
        ("Marten", ["Reliability.Store"]),
        ("JasperFx", ["Reliability.Store"]),
        ("Weasel", ["Reliability.Store"]),
        ("Npgsql", ["Reliability.Store", "Reliability.Service"]),
        ("Grpc", ["Reliability.Service", "Reliability.Cli", "Reliability.Contracts", "Reliability.Engine.Remote"]),
        ("Google", ["Reliability.Service", "Reliability.Cli", "Reliability.Files", "Reliability.Contracts", "Reliability.Engine.Remote"]),
        ("MathNet", ["Reliability.Engine", "Reliability.Engine.Remote", "Reliability.Analysis"]),
        ("ScottPlot", ["Reliability.Plots"]),
        ("CsvHelper", ["Reliability.Files"]),
        ("Spectre", ["Reliability.Cli"]),
        ("xunit", ["Reliability.Engine.Conformance"]),
        ("OpenTelemetry", ["Reliability.Service"]),
        ("Microsoft.AspNetCore", ["Reliability.Service"]),
    ];

    private static readonly string Source = Repository.Path("src");

    public static TheoryData<string> Projects() =>
        new(Directory.GetFiles(Source, "*.csproj", SearchOption.AllDirectories)
            .Select(path => Path.GetFileNameWithoutExtension(path)!).Order());

    [Theory]
    [MemberData(nameof(Projects))]
    public void A_project_refers_only_to_those_it_may_know(string project)
    {
        Assert.True(Allowed.ContainsKey(project), $"{project} has no place in the house yet: say which projects it may know.");
        var references = XDocument.Load(Path.Combine(Source, project, project + ".csproj"))
            .Descendants("ProjectReference")
            .Select(reference => Path.GetFileNameWithoutExtension(reference.Attribute("Include")!.Value.Replace('\\', '/')));
        Assert.Empty(references.Except(Allowed[project]));
    }

    [Theory]
    [MemberData(nameof(Projects))]
    public void A_compiled_project_uses_only_what_it_may(string project)
    {
        // What the compiler kept, transitive references included: a project can see more than it refers to.
        var used = Load(project).GetReferencedAssemblies().Select(name => name.Name!).ToList();
        Assert.NotEmpty(used);
        var ours = used.Where(name => name.StartsWith("Reliability.", StringComparison.Ordinal));
        Assert.Empty(ours.Except(Allowed[project]));
        foreach (var (prefix, users) in Reserved.Where(rule => !rule.Users.Contains(project)))
            Assert.DoesNotContain(used, name => name == prefix || name.StartsWith(prefix + ".", StringComparison.Ordinal));
    }

    [Fact]
    public void Only_the_service_registers_the_engine_by_way_of_plug_ins_and_the_conformance_kit_tries_it()
    {
        Assert.Equal(["Reliability.Engine.Conformance", "Reliability.Engine.PlugIns"], UsersOf("Reliability.Engine").Order());
        Assert.Equal(["Reliability.PlugInCheck", "Reliability.Service"], UsersOf("Reliability.Engine.PlugIns").Order());
    }

    private static IEnumerable<string> UsersOf(string used) => Allowed.Keys.Where(
        project => project != used && Load(project).GetReferencedAssemblies().Any(name => name.Name == used));

    [Theory]
    [InlineData("Reliability.Analysis")]
    [InlineData("Reliability.Service")]
    [InlineData("Reliability.Cli")]
    [InlineData("Reliability.PlugInCheck")]
    [InlineData("Reliability.Plots")]
    public void Nothing_outside_the_engine_names_a_life_model(string project)
    {
        // A plug-in's model would be treated differently wherever ours is named. Even the default is whatever the engine says it is.
        var ids = BuiltInLifeModels.CreateCatalog().Models.Select(model => model.Description.Id).ToList();
        Assert.Contains("weibull", ids);
        foreach (var (file, code) in Code(project))
        {
            foreach (var id in ids)
            {
                // "normal" is a word too: as an id it would stand alone between quotes.
                var isNamed = id is "normal"
                    ? code.Contains($"\"{id}\"", StringComparison.OrdinalIgnoreCase)
                    : code.Contains(id, StringComparison.OrdinalIgnoreCase) || code.Contains(id.Replace("-", "", StringComparison.Ordinal), StringComparison.OrdinalIgnoreCase);
                Assert.False(isNamed, $"{Path.GetFileName(file)} names {id}");
            }
        }
    }

    [Theory]
    [InlineData("Reliability.Engine")]
    [InlineData("Reliability.Engine.Abstractions")]
    [InlineData("Reliability.History")]
    [InlineData("Reliability.Analysis")]
    public void Pure_projects_read_no_clock_no_file_and_no_global_random(string project)
    {
        // Words that would let an effect in.
        string[] banned = ["DateTime.Now", "DateTime.UtcNow", "DateTimeOffset.Now", "DateTimeOffset.UtcNow",
            "TimeProvider.System", "File.", "Directory.", "Environment.", "Random.Shared", "new Random()", "Guid.NewGuid",
            "Console.", "HttpClient"];
        foreach (var (file, code) in Code(project))
        {
            foreach (var word in banned)
                Assert.False(code.Contains(word, StringComparison.Ordinal), $"{Path.GetFileName(file)} uses {word}");
        }
    }

    /// <summary>The source of a project without its comments.</summary>
    private static List<(string File, string Code)> Code(string project)
    {
        var files = Directory.GetFiles(Path.Combine(Source, project), "*.cs", SearchOption.AllDirectories)
            .Where(path => !path.Contains("/obj/", StringComparison.Ordinal) && !path.Contains("/bin/", StringComparison.Ordinal))
            .Select(path => (path, string.Join('\n', File.ReadLines(path).Select(line => line.Split("//")[0])))).ToList();
        Assert.NotEmpty(files);
        return files;
    }

    private static Assembly Load(string project) =>
        Assembly.Load(project == "Reliability.Cli" ? "reliability" : project);
}
