using System.Net.Http.Json;
using System.Text.Json;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.CommandLine;

/// <summary>Questions asked by the command line, with the twenty units of NIST/SEMATECH e-Handbook 8.4.1.3 as the sample.</summary>
public sealed class QuestionTests(SharedService shared) : IDisposable
{
    private const string Units = "# NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3\noutcome,hours,count\n"
        + "failed,54,\nfailed,187,\nfailed,216,\nfailed,240,\nfailed,244,\nfailed,335,\nfailed,361,\nfailed,373,\nfailed,375,\nfailed,386,\nsurvived,500,10\n";

    private const string Observations = """
        {"observations": [
          {"failureHours": 54}, {"failureHours": 187}, {"failureHours": 216}, {"failureHours": 240}, {"failureHours": 244},
          {"failureHours": 335}, {"failureHours": 361}, {"failureHours": 373}, {"failureHours": 375}, {"failureHours": 386},
          {"survivalHours": 500, "count": "10"}]}
        """;

    private readonly string _folder = TemporaryFolder.Create();

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task A_fit_has_the_handbooks_numbers_and_a_plot_with_its_text()
    {
        var plot = Path.Combine(_folder, "units.svg");
        var fit = await Run("fit", "--sample", Sample(), "--plot", plot);
        Assert.Equal((0, ""), (fit.ExitCode, fit.Error));
        Assert.Equal("1.7208", Cells(fit.Out, "shape")[1]);
        Assert.Equal("606.53", Cells(fit.Out, "scale")[1]);
        Assert.Equal("540.74", Cells(fit.Out, "mean life, h")[1]);
        Assert.Contains("Log-likelihood -75.135.", fit.Out, StringComparison.Ordinal);
        var drawing = await File.ReadAllTextAsync(plot, TestContext.Current.CancellationToken);
        foreach (var text in (string[])["Run-hours", "Failed, %", "units: fitted, 95 % bounds", "units: failed (Kaplan-Meier)"])
            Assert.Contains(text, drawing, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("fit --seed 7 --at-hours 100", "/v1/lives:fit", """{"sample": SAMPLE, "seed": "7", "reliabilityHours": [100]}""")]
    [InlineData("fit --seed 7 --life-model lognormal --bounds normal-approximation --confidence 0.9 --fraction 0.2", "/v1/lives:fit",
        """{"sample": SAMPLE, "seed": "7", "lifeModel": "lognormal", "boundsMethod": "BOUNDS_METHOD_NORMAL_APPROXIMATION", "confidenceLevel": 0.9, "failureFractions": [0.2]}""")]
    [InlineData("fit --seed 7 --fix shape=2 --age 100 --horizon 50 --horizon 80", "/v1/lives:fit",
        """{"sample": SAMPLE, "seed": "7", "fixedParameters": {"shape": 2}, "remainingLifeQueries": [{"ageHours": 100, "horizonHours": [50, 80]}]}""")]
    [InlineData("fit --seed 7 --life-model weibull3 --test-replicates 20 --residuals", "/v1/lives:fit",
        """{"sample": SAMPLE, "seed": "7", "lifeModel": "weibull3", "fitTestReplicates": 20, "includeResiduals": true}""")]
    [InlineData("assess --life-model weibull --life-model gamma --replicates 20 --seed 7", "/v1/lifeModels:assess",
        """{"sample": SAMPLE, "seed": "7", "lifeModels": ["weibull", "gamma"], "replicates": 20}""")]
    [InlineData("survival", "/v1/survival:estimate", """{"sample": SAMPLE}""")]
    public async Task The_answer_for_programs_is_the_one_that_http_gives(string line, string route, string question)
    {
        var asked = await Run([.. line.Split(' '), "--sample", Sample(), "--json"]);
        Assert.Equal((0, ""), (asked.ExitCode, asked.Error));
        using var content = new StringContent(question.Replace("SAMPLE", Observations, StringComparison.Ordinal), System.Text.Encoding.UTF8, "application/json");
        using var response = await shared.Clients.Http.PostAsync(new Uri(route, UriKind.Relative), content, TestContext.Current.CancellationToken);
        var expected = await response.Content.ReadFromJsonAsync<JsonElement>(TestContext.Current.CancellationToken);
        Assert.True(response.IsSuccessStatusCode, expected.GetRawText());
        Assert.True(
            JsonElement.DeepEquals(expected, JsonDocument.Parse(asked.Out).RootElement),
            $"HTTP: {expected.GetRawText()}{Environment.NewLine}command line: {asked.Out}");
    }

    [Fact]
    public async Task Models_side_by_side_name_no_winner_when_the_difference_is_slight()
    {
        var assessed = await Run("assess", "--sample", Sample(), "--life-model", "weibull", "--life-model", "lognormal");
        Assert.Equal((0, ""), (assessed.ExitCode, assessed.Error));
        Assert.Contains("cannot tell weibull, lognormal apart", assessed.Out, StringComparison.Ordinal);
        Assert.Equal("-75.135", Cells(assessed.Out, "weibull")[2]);
    }

    [Fact]
    public async Task Mean_replacements_of_positions_are_told_from_a_sheet()
    {
        var sheet = Write("positions.csv", "position,start_hours,end_hours,replacement_hours\ncot 1,0,4000,1200; 3000\ncot 2,,4000,2500\ncot 3,500,3500,\n");
        var told = await Run("replacements", sheet);
        Assert.Equal((0, ""), (told.ExitCode, told.Error));
        Assert.StartsWith("3 replacements at 3 positions in 11,000 run-hours.", told.Out, StringComparison.Ordinal);
        Assert.Equal(["3,000", "3", "1", "1"], Cells(told.Out, "3,000")[..4]);
        Assert.Contains("FEW_POSITIONS", told.Out, StringComparison.Ordinal);

        var wrong = await Run("replacements", Write("wrong.csv", "end_hours,replacement_hours\n4000,12 00;x\n"));
        Assert.Equal(2, wrong.ExitCode);
        Assert.Contains("line 2: replacement_hours", wrong.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Two_samples_are_compared()
    {
        var half = Write("half.csv", Units.Replace("54,", "27,", StringComparison.Ordinal).Replace("386,", "193,", StringComparison.Ordinal));
        var comparison = await Run("compare", "--first-sample", Sample(), "--second-sample", half);
        Assert.Equal((0, ""), (comparison.ExitCode, comparison.Error));
        Assert.StartsWith("Verdict (", comparison.Out, StringComparison.Ordinal);
        Assert.Contains("Ratios, half over units:", comparison.Out, StringComparison.Ordinal);
        Assert.Equal(3, Cells(comparison.Out, "shape").Length);
    }

    [Theory]
    [InlineData("outcome,hours\nfailed,-5\n", "INVALID_ARGUMENT", ": line 2: hours: ")]
    [InlineData("outcome,hours,entry_hours\nfailed,5,9\n", "INVALID_ARGUMENT", ": line 2: entry_hours: ")]
    [InlineData("outcome,hours\nsurvived,5\n", "FAILED_PRECONDITION", "reason: NO_FAILURES")]
    public async Task What_the_service_refuses_is_said_in_words(string sample, string status, string expected)
    {
        var refusal = await Run("fit", "--sample", Write("sample.csv", sample));
        Assert.Equal(1, refusal.ExitCode);
        Assert.Contains($"The service refused the request ({status})", refusal.Error, StringComparison.Ordinal);
        Assert.Contains(expected, refusal.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_module_that_does_not_exist_is_said_so()
    {
        var refusal = await Run("module", "cli-nobody");
        Assert.Equal(1, refusal.ExitCode);
        Assert.Contains("NOT_FOUND", refusal.Error, StringComparison.Ordinal);
        Assert.Contains("modules/cli-nobody", refusal.Error, StringComparison.Ordinal);
        var serial = await Run("predict", "serial:cli-nobody");
        Assert.Equal(2, serial.ExitCode);
        Assert.Contains("No module has the identifier serial:cli-nobody.", serial.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Other_places_than_the_grpc_address_are_told()
    {
        var (_, http) = FreePorts.Take();
        var nobody = await RunAt($"http://127.0.0.1:{http}");
        Assert.Equal(2, nobody.ExitCode);
        Assert.Contains("cannot be reached", nobody.Error, StringComparison.Ordinal);
        var wrong = await RunAt(shared.Service.HttpAddress.ToString());
        Assert.Equal(2, wrong.ExitCode);
        Assert.Contains("gRPC address", wrong.Error, StringComparison.Ordinal);
    }

    private static string[] Cells(string output, string start) =>
        output.Split('\n').First(line => line.TrimStart().StartsWith(start, StringComparison.Ordinal))
            .Split("  ", StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);

    private static Task<(int ExitCode, string Out, string Error)> RunAt(string address) => CommandLineProcess.RunAsync(new Uri(address), "life-models");

    private Task<(int ExitCode, string Out, string Error)> Run(params string[] arguments) => CommandLineProcess.RunAsync(shared.Service.GrpcAddress, arguments);

    private string Sample() => Write("units.csv", Units);

    private string Write(string name, string text)
    {
        var path = Path.Combine(_folder, name);
        File.WriteAllText(path, text);
        return path;
    }
}
