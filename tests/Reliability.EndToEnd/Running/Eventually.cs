using Xunit;

namespace Reliability.EndToEnd.Running;

/// <summary>Waits for what has to come; how long that takes is no matter, but a test must end.</summary>
internal static class Eventually
{
    private const int Attempts = 1_000;

    /// <summary>Asks until the answer is there.</summary>
    public static async Task<T> GetAsync<T>(Func<Task<T?>> ask)
        where T : class
    {
        for (var attempt = 0; attempt < Attempts; attempt++)
        {
            if (await ask() is { } answer)
                return answer;
            await Task.Delay(50, TestContext.Current.CancellationToken);
        }

        throw new InvalidOperationException("What has to come did not come.");
    }
}
