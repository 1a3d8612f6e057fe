using System.Text.Json;
using Google.Protobuf.WellKnownTypes;
using Google.Rpc;
using Reliability.Cli.Answers;
using Reliability.V1;
using Xunit;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Cli.Tests.Answers;

public sealed class JsonAnswerTests
{
    [Fact]
    public void Defaults_are_written_absent_numbers_are_not_and_long_numbers_are_strings()
    {
        JsonElement answer = JsonDocument.Parse(JsonAnswer.Of(new FitLivesResponse
        {
            SampleSummary = new SampleSummary { LifeCount = 9007199254740993 },
            Fit = new LifeFit { MeanLife = new Estimate { Lower = 5 } },
        })).RootElement;
        JsonElement summary = answer.GetProperty("sampleSummary");
        Assert.Equal("9007199254740993", summary.GetProperty("lifeCount").GetString());
        Assert.Equal("0", summary.GetProperty("failedCount").GetString());
        Assert.False(summary.TryGetProperty("moduleCount", out _));
        JsonElement mean = answer.GetProperty("fit").GetProperty("meanLife");
        Assert.Equal(5, mean.GetProperty("lower").GetDouble());
        Assert.False(mean.TryGetProperty("value", out _));
        Assert.Equal("BOUND_SIDE_UNSPECIFIED", mean.GetProperty("boundSide").GetString());
    }

    [Fact]
    public void Details_of_refused_events_are_written_and_a_line_is_a_line()
    {
        BadRequest details = new() { FieldViolations = { new BadRequest.Types.FieldViolation { Field = "events[0].failed", Description = "no" } } };
        string line = JsonAnswer.Line(new RecordEventResult { EventId = "e", Error = new RpcStatus { Code = 3, Details = { Any.Pack(details) } } });
        Assert.DoesNotContain('\n', line);
        Assert.Equal("events[0].failed", JsonDocument.Parse(line).RootElement
            .GetProperty("error").GetProperty("details")[0].GetProperty("fieldViolations")[0].GetProperty("field").GetString());
    }
}
