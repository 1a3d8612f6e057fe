using System.Globalization;
using System.Reflection;
using System.Text.RegularExpressions;
using Reliability.Analysis;
using Reliability.Engine.Abstractions;
using Reliability.Files;
using Reliability.History.Lives;
using Reliability.Service.Errors;
using Reliability.Service.Events;
using Reliability.Service.Hosting;
using Reliability.Service.Uploads;
using Xunit;

namespace Reliability.Service.Tests.Documents;

/// <summary>docs/errors.md lists every code that callers can meet, and the limits as they are.</summary>
public sealed partial class ErrorsPageTests
{
    private static readonly string Page = File.ReadAllText(Repository.Path("docs/errors.md"));

    [Theory]
    [InlineData(typeof(ErrorReasons))]
    [InlineData(typeof(NotEstimableReasons))]
    [InlineData(typeof(NotPredictedReasons))]
    [InlineData(typeof(WarningCodes))]
    [InlineData(typeof(RecordWarningCodes))]
    [InlineData(typeof(PredictionWarningCodes))]
    [InlineData(typeof(AnalysisWarningCodes))]
    public void Every_constant_is_listed(Type codes)
    {
        var listed = Constants(codes).ToList();

        Assert.True(listed.Count >= 4);
        Assert.All(listed, IsListed);
    }

    [Fact]
    public void Every_code_of_the_record_is_listed()
    {
        Assert.All(Enum.GetValues<UnresolvedReason>(), code => IsListed(Words.Code(code)));
        Assert.All(Enum.GetValues<LifeExclusion>(), code => IsListed(Words.Code(code)));
        Assert.All(Enum.GetValues<RecordOddity>(), code => IsListed(Words.Code(code)));
        IsListed(SampleLives.Flagged);
        IsListed(RefusalReasons.UnknownLifeModel);
        IsListed(UploadWarnings.FutureTimes);
        IsListed(UploadWarnings.RejectedRowsNotKept);
        Assert.All(HandlingCautions.Usual, caution => IsListed(caution.Code));
    }

    [Fact]
    public void No_other_code_is_listed()
    {
        HashSet<string> known =
        [
            .. ((Type[])[typeof(ErrorReasons), typeof(RefusalReasons), typeof(NotEstimableReasons), typeof(NotPredictedReasons),
                typeof(WarningCodes), typeof(RecordWarningCodes), typeof(PredictionWarningCodes), typeof(AnalysisWarningCodes),
                typeof(UploadWarnings)]).SelectMany(Constants),
            .. Enum.GetValues<UnresolvedReason>().Select(Words.Code),
            .. Enum.GetValues<LifeExclusion>().Select(Words.Code),
            .. Enum.GetValues<RecordOddity>().Select(Words.Code),
            .. HandlingCautions.Usual.Select(caution => caution.Code),
            SampleLives.Flagged,
        ];
        var listed = Rows().Matches(Page).Select(row => row.Groups["code"].Value).ToList();

        Assert.True(listed.Count > 100);
        Assert.Empty(listed.Except(known));
    }

    [Fact]
    public void Limits_are_those_of_the_code()
    {
        string[] rows =
        [
            $"| one message, or one JSON body | {Limits.MaxMessageBytes / 1024 / 1024} MiB |",
            $"| events of a call, or of a message of StreamEvents | {Number(Limits.MaxEvents)} |",
            $"| observations of an inline sample | {Number(Limits.MaxObservations)} |",
            $"| lives that one observation stands for | {Number(Limits.MaxCount)} |",
            $"| file of an upload | {UploadLimits.MaxFileBytes / 1024 / 1024 / 1024} GiB |",
            $"| pause of the sender of an upload on gRPC | {UploadLimits.MaxPause.TotalSeconds} s |",
            $"| uploads at once | {UploadLimits.MaxAtOnce} |",
            $"| line of a file | {FileLimits.MaxLineBytes / 1024 / 1024} MiB |",
            $"| columns of a sheet | {Number(FileLimits.MaxColumns)} |",
            $"| rows of a file without an id of their own | {Number(FileLimits.MaxRowsWithoutId)} |",
            $"| events of a file that is only checked | {Number(UploadLimits.MaxCheckedEvents)} |",
            $"| mapping | {FileLimits.MaxMappingBytes / 1024 / 1024} MiB, ",
            $"| rejected rows kept of an upload | {Number(UploadLimits.MaxKeptRows)}, of each {Number(UploadLimits.MaxKeptRowLength)} characters, for {UploadLimits.Kept.Days} days |",
            $"| page size | {Number(Limits.MaxPageSize)}; {Number(Limits.MaxLivesPageSize)} lives |",
        ];

        Assert.All(rows, row => Assert.Contains(row, Page, StringComparison.Ordinal));
    }

    private static IEnumerable<string> Constants(Type codes) => codes.GetFields(BindingFlags.Public | BindingFlags.Static)
        .Where(field => field is { IsLiteral: true } && field.Name != nameof(ErrorReasons.Domain))
        .Select(field => (string)field.GetRawConstantValue()!);

    [GeneratedRegex("^\\| `(?<code>[A-Z_0-9]+)` \\|", RegexOptions.Multiline)]
    private static partial Regex Rows();

    private static void IsListed(string code) => Assert.Contains($"| `{code}` |", Page, StringComparison.Ordinal);

    private static string Number(long value) => value.ToString("N0", CultureInfo.InvariantCulture);
}
