using Reliability.V1;

namespace Reliability.EndToEnd.Surface;

/// <summary>A fit that takes many seconds: many intervals with late entry, and a thousand bounds by likelihood ratio.</summary>
internal static class SlowFit
{
    public static FitLivesRequest Request()
    {
        var request = new FitLivesRequest { Sample = new() };
        request.Sample.Observations.AddRange(Enumerable.Range(1, 150_000).Select(i => new LifeObservation
        {
            EntryHours = i % 50,
            FailureInterval = new() { LowerHours = 50 + (i % 977), UpperHours = 60 + (i % 977) + (i % 13) },
        }));
        request.ReliabilityHours.AddRange(Enumerable.Range(1, 1000).Select(i => (double)i));
        return request;
    }
}
