using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.Meters;

/// <summary>Records of a size that only a method near linear gets through.</summary>
public sealed class LongRecordTests
{
    [Fact]
    public void Fifty_thousand_readings_with_one_in_a_hundred_mistyped_give_the_right_age()
    {
        var readings = Enumerable.Range(1, 50_000)
            .Select(n => MeterReading.AtInstant(Scenario.History.Day(n / 24.0), n % 100 == 0 ? n * 5.0 : n * 0.5)).ToList();
        var history = new Scenario.History().Registered().OnHost(0, 0).At(1, new RunHoursReadV1 { Readings = readings });
        var derived = history.Derive();

        Assert.Equal(HoursRange.Known(24_999.5), derived.Age);
        Assert.Equal(500, derived.Events.Sum(status => status.LeftOutReadings.Count));
    }
}
