using Google.Protobuf.WellKnownTypes;
using Google.Rpc;
using Grpc.Core;
using Reliability.Cli.Connections;
using Reliability.Cli.Samples;
using Xunit;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Cli.Tests.Connections;

public sealed class RefusalTextTests
{
    private static readonly RpcStatus Refused = new()
    {
        Code = (int)StatusCode.InvalidArgument,
        Message = "The request cannot be answered.",
        Details =
        {
            Any.Pack(new BadRequest
            {
                FieldViolations =
                {
                    new BadRequest.Types.FieldViolation { Field = "sample.observations[3].failure_hours", Description = "must be more than 0" },
                    new BadRequest.Types.FieldViolation { Field = "failure_fractions[0]", Description = "must be between 0 and 1" },
                },
            }),
            Any.Pack(new ErrorInfo { Reason = "INVALID_FIELDS", Domain = "reliability" }),
            Any.Pack(new ResourceInfo { ResourceName = "modules/lamp-1" }),
        },
    };

    [Fact]
    public void Each_violation_is_told_with_its_field_and_rule()
    {
        Assert.Equal(
            [
                "The service refused the request (INVALID_ARGUMENT):",
                "  sample.observations[3].failure_hours: must be more than 0",
                "  failure_fractions[0]: must be between 0 and 1",
                "  reason: INVALID_FIELDS",
                "  about: modules/lamp-1",
            ],
            RefusalText.Lines(Refused.ToRpcException()));
    }

    [Fact]
    public void A_violation_of_a_row_names_the_line_and_the_column_of_its_file()
    {
        SheetRows rows = new();
        rows.Add("sample.observations", "lives.csv", [2, 3, 5, 8]);
        Assert.Equal("  lives.csv: line 8: hours: must be more than 0", RefusalText.Lines(Refused.ToRpcException(), rows.Place)[1]);
        Assert.Equal("  failure_fractions[0]: must be between 0 and 1", RefusalText.Lines(Refused.ToRpcException(), rows.Place)[2]);
    }

    [Fact]
    public void A_refusal_without_details_has_its_message()
    {
        RpcException plain = new(new Grpc.Core.Status(StatusCode.FailedPrecondition, "There are no failures."));
        Assert.Equal(["The service refused the request (FAILED_PRECONDITION): There are no failures."], RefusalText.Lines(plain));
    }

    [Fact]
    public void A_refused_event_is_one_line()
    {
        Assert.Equal("sample.observations[3].failure_hours: must be more than 0; failure_fractions[0]: must be between 0 and 1", RefusalText.Line(Refused));
        RpcStatus inMessage = new() { Details = { Any.Pack(new BadRequest { FieldViolations = { new BadRequest.Types.FieldViolation { Field = "events[17].removed.reason", Description = "must be stated" } } }) } };
        Assert.Equal("removed.reason: must be stated", RefusalText.Line(inMessage));
        Assert.Equal("ALREADY_EXISTS: another body", RefusalText.Line(new RpcStatus { Code = (int)StatusCode.AlreadyExists, Message = "another body" }));
    }

    [Theory]
    [InlineData(StatusCode.Unavailable, true)]
    [InlineData(StatusCode.DeadlineExceeded, true)]
    [InlineData(StatusCode.Unimplemented, true)]
    [InlineData(StatusCode.NotFound, false)]
    [InlineData(StatusCode.Internal, false)]
    [InlineData(StatusCode.ResourceExhausted, false)]
    public void What_was_not_answered_is_told_from_what_was_refused(StatusCode code, bool unreachable)
    {
        Assert.Equal(unreachable, RefusalText.IsUnreachable(new RpcException(new Grpc.Core.Status(code, ""))));
    }
}
