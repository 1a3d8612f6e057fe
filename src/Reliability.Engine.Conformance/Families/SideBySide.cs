using System.Diagnostics;

namespace Reliability.Engine.Conformance;

/// <summary>
/// Two askers with questions of their own on threads side by side, whose answers must be to the last bit what each gets alone. Half of the
/// threads ask for one, half for the other. In each round all begin together and each asks on until every one of them has had an answer: with
/// processors enough they ask at the same moment, and with too few a thread is put aside in the midst of a question while another asks.
/// </summary>
internal static class SideBySide
{
    private const int MostRounds = 50;

    // On a busy machine a round lasts until the other thread comes to run, which may take thousands of questions: then some rounds are enough,
    // for each has met one question in its midst.
    private const int Enough = 2000, EnoughRounds = 16;

    private static readonly int Threads = Math.Clamp(Environment.ProcessorCount / 2 * 2, 2, 8);

    // Long questions overlap for long: they need fewer rounds.
    private static readonly TimeSpan RoundsTogether = TimeSpan.FromMilliseconds(60);

    /// <summary>Asks side by side and compares.</summary>
    /// <param name="one">All that the one asks.</param>
    /// <param name="other">All that the other asks.</param>
    /// <param name="fewestRounds">Rounds that there are at least.</param>
    /// <param name="what">What is compared, for people.</param>
    /// <returns>What was done, for people.</returns>
    public static string Compare(Func<double[]> one, Func<double[]> other, int fewestRounds, FormattableString what)
    {
        // An answer may settle on a thread when it is asked for the first time; that is another rule's.
        Func<double[]>[] questions = [one, other];
        double[][] expected = [.. questions.Select(Settled)];
        var watch = Stopwatch.StartNew();
        foreach (var question in questions)
            question();
        var rounds = (int)Math.Clamp(RoundsTogether / watch.Elapsed, fewestRounds, MostRounds);

        var (answered, asked, isOver) = (0, 0, false);
        try
        {
            PurityRules.OnThreads(Threads, thread =>
            {
                try
                {
                    Ask(thread % 2);
                }
                catch
                {
                    Volatile.Write(ref isOver, true);
                    throw;
                }

                return true;
            });
        }
        finally
        {
            // Where one hangs the others must not ask for ever.
            Volatile.Write(ref isOver, true);
        }

        return FormattableString.Invariant($"{asked} questions on {Threads} threads at once");

        void Ask(int asker)
        {
            Settled(questions[asker]);
            for (var round = 0; round < rounds && !Volatile.Read(ref isOver); round++)
            {
                for (var k = 0; k == 0 || (Volatile.Read(ref answered) < Threads * (round + 1) && !Volatile.Read(ref isOver)); k++)
                {
                    PurityRules.Unless(expected[asker], questions[asker](), what);
                    if (Interlocked.Increment(ref asked) > Enough && round >= EnoughRounds)
                        Volatile.Write(ref isOver, true);
                    if (k == 0)
                        Interlocked.Increment(ref answered);
                }
            }
        }
    }

    private static double[] Settled(Func<double[]> question)
    {
        question();
        return question();
    }
}
