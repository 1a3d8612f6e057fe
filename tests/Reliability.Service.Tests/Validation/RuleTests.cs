using Google.Protobuf;
using Google.Protobuf.Reflection;
using Reliability.Service.Validation;
using Reliability.V1;
using Xunit;

namespace Reliability.Service.Tests.Validation;

/// <summary>The rules of the protos can all be compiled, and plain requests keep them.</summary>
public sealed class RuleTests
{
    private static readonly RequestCheck Check = new();

    private static readonly Dictionary<string, MessageDescriptor> Inputs = new[]
        {
            ModuleCatalogService.Descriptor, ModuleHistoryService.Descriptor, LifeAnalysisService.Descriptor,
            LifeForecastService.Descriptor,
        }
        .SelectMany(service => service.Methods).Select(method => method.InputType).Distinct().ToDictionary(type => type.Name);

    public static TheoryData<string> Requests() => [.. Inputs.Keys];

    [Theory]
    [MemberData(nameof(Requests))]
    public void Every_rule_compiles(string request)
    {
        var type = Inputs[request];

        // A rule that cannot be compiled throws here, however wrong the empty request is.
        Assert.NotNull(Check.Check(type.Parser.ParseFrom(ByteString.Empty)));
    }

    [Fact]
    public void Control_characters_and_impossible_times_are_found_at_any_depth()
    {
        var request = new FitLivesRequest
        {
            Cohort = new()
            {
                Sites = { "Quennick General", "a\0b" },
                DataCutoffTime = new() { Seconds = long.MaxValue },
            },
        };

        var status = Check.Check(request).ToStatus();

        var fields = status.Details.Single(detail => detail.Is(Google.Rpc.BadRequest.Descriptor))
            .Unpack<Google.Rpc.BadRequest>().FieldViolations.Select(violation => violation.Field);
        Assert.Equal(["cohort.sites[1]", "cohort.data_cutoff_time"], fields);
    }

    [Fact]
    public void A_large_sample_is_left_to_plain_checks()
    {
        var request = new FitLivesRequest { Sample = new() };
        request.Sample.Observations.Add(new LifeObservation { FailureHours = -1 });

        Assert.True(Check.Check(request).IsEmpty);
    }
}
