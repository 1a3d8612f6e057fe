using System.Text;
using Reliability.History.Events;
using Xunit;

namespace Reliability.History.Tests.Events;

/// <summary>Ids from names.</summary>
public sealed class IdentityTests
{
    private static RecordedEvent Failure(double hours) =>
        new Scenario.History().At(3, new FailedV1 { ReadingHours = hours, Mode = "noise" }).Events[0];

    [Fact]
    public void Version_five_agrees_with_the_example_of_the_standard()
    {
        // RFC 9562, appendix A.4: "www.example.com" in the DNS namespace.
        var dns = new Guid("6ba7b810-9dad-11d1-80b4-00c04fd430c8");

        Assert.Equal(
            new Guid("2ed6657d-e927-568b-95e1-2665a8aea6a2"),
            EventIdentity.VersionFive(dns, Encoding.UTF8.GetBytes("www.example.com")));
    }

    [Fact]
    public void Names_of_events_do_not_run_into_each_other()
    {
        Assert.NotEqual(EventIdentity.EventId("a", "bc", "d"), EventIdentity.EventId("ab", "c", "d"));
        Assert.NotEqual(EventIdentity.EventId("a", "b", "cd"), EventIdentity.EventId("a", "bc", "d"));
        Assert.Equal(EventIdentity.EventId("a", "b", "c"), EventIdentity.EventId("a", "b", "c"));
    }

    [Fact]
    public void An_id_once_given_stays()
    {
        // Stored ids depend on these: should one change, reposted events would be taken for new ones.
        Assert.Equal(new Guid("ba1f9726-af62-5c1e-a4a0-d515346d42a8"), EventIdentity.EventId("brindlemoor", "quennick-maintenance", "WO-1042"));
        Assert.Equal("34c77403-412b-543f-8787-5da7f62076c9", EventIdentity.ModuleId("brindlemoor", IdentifierKind.Serial, " VB-0017 "));
        Assert.Equal("content-e33a50b94ae22ebf2d4a4075187d49f80ff75a7ac33d718201fe55038613703c-2", EventIdentity.OriginalIdFromContent(Failure(100), 2));
    }

    [Fact]
    public void Content_is_what_happened_and_nothing_else()
    {
        var failure = Failure(100);
        var reposted = failure with
        {
            EventId = Guid.Empty,
            OriginalId = "x",
            Source = "y",
            Note = "z",
            ActorId = "tech-7",
            RecordTime = Scenario.History.Day(9),
        };

        Assert.True(EventContent.SaysTheSame(failure, reposted));
        Assert.False(EventContent.SaysTheSame(failure, Failure(101)));
        Assert.False(EventContent.SaysTheSame(failure, failure with { ModuleId = "other" }));
        Assert.NotEqual(EventIdentity.OriginalIdFromContent(failure, 0), EventIdentity.OriginalIdFromContent(failure, 1));
    }
}
