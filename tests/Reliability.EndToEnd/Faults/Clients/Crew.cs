using Xunit;

namespace Reliability.EndToEnd.Faults.Clients;

/// <summary>The clients of a test, posting side by side, and the counts of what they met.</summary>
internal sealed class Crew
{
    // A client without any answer for so long, breaks included, hangs.
    private static readonly TimeSpan LongestSilence = TimeSpan.FromMinutes(5);

    private readonly Load _load;
    private readonly Task[] _posting;

    /// <summary>Starts them with nothing to post yet.</summary>
    /// <param name="open">Opens a line for the client of this number; asked again after each break.</param>
    /// <param name="count">How many clients.</param>
    /// <param name="load">What they have to post.</param>
    public Crew(Func<int, IPostLine> open, int count, Load load)
    {
        _load = load;
        Members = [.. Enumerable.Range(0, count).Select(i => new ResumingClient(() => open(i), Receipts, LongestSilence))];
        _posting = [.. Members.Select(client => Task.Run(() => client.RunAsync(TestContext.Current.CancellationToken)))];
    }

    public IReadOnlyList<ResumingClient> Members { get; }

    public Receipts Receipts { get; } = new();

    /// <summary>Events sent over the present lines and not answered.</summary>
    public long InFlight => Members.Sum(client => client.InFlight);

    /// <summary>Events that a client has begun to post and that have no receipt.</summary>
    public int Unanswered => Members.Sum(client => client.Unanswered);

    /// <summary>Whether some events have not been given to a client.</summary>
    public bool HasMore => _load.Left > 0;

    /// <summary>Gives each client a few events more.</summary>
    public void GiveSome() => _load.GiveSome(Members);

    /// <summary>Waits a little. Throws what ended a client.</summary>
    public async Task PauseAsync(TimeSpan pause)
    {
        if (Array.Find(_posting, posting => posting.IsFaulted) is { } failed)
            await failed;
        await Task.Delay(pause, TestContext.Current.CancellationToken);
    }

    /// <summary>Posts what is left, and waits until everything has its receipt.</summary>
    public async Task FinishAsync()
    {
        _load.GiveRest(Members);
        await foreach (var ended in Task.WhenEach(_posting))
            await ended;
    }

    /// <summary>The counts, in a line.</summary>
    public override string ToString() =>
        $"{Receipts.Given} receipts for {Receipts.First.Count} events, {Receipts.First.Count - Receipts.New} of them found recorded "
        + $"without an earlier receipt; {Members.Sum(client => client.Resumes)} resumes; broken lines and failed attempts: "
        + string.Join(", ", Members.SelectMany(client => client.Breaks).GroupBy(pair => pair.Key)
            .Select(kind => $"{kind.Sum(pair => pair.Value)} {kind.Key}")) + ".";
}
