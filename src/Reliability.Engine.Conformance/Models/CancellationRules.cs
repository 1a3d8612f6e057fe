using System.Diagnostics;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>A cancelled token ends the work. What counts is that no answer comes, not how long it takes.</summary>
internal static class CancellationRules
{
    private const int Lives = 60, Fewest = 500, Most = 4_000_000, Growth = 4;
    // Multiples of it fill the stretch from 0 to 1 evenly.
    private const double GoldenRatio = 0.6180339887498949;
    private const int Runs = 3, Tries = 3, Sizes = 2;

    // A fit that takes as long can be cancelled in the midst of it.
    private static readonly TimeSpan LongEnough = TimeSpan.FromMilliseconds(5);

    // So long a wait means that a thread hangs; nothing is timed.
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    public static Finding Before(LifeModelUnderTest subject)
    {
        var (sample, life) = subject.Fitted(Lives, Watching.Censored, 41, subject.Cheapest(), $"An ordinary sample");
        using var cancelled = new CancellationTokenSource();
        cancelled.Cancel();
        foreach (var method in subject.Capabilities.BoundsMethods)
        {
            try
            {
                subject.Model.Fit(sample, new FitOptions { BoundsMethod = method, ConfidenceLevel = 0.9, Replicates = FitOptions.FewestReplicates }, cancelled.Token);
            }
            catch (OperationCanceledException)
            {
                continue;
            }
            catch (UnsupportedRequestException)
            {
                // That it claims a method and has it not is another rule's.
                continue;
            }

            Broken.Unless(false, $"A fit with {method} bounds was asked with a cancelled token and answered; it is to end with {nameof(OperationCanceledException)}.");
        }

        Asked(() => life.Mean(cancelled.Token));
        Asked(() => life.PercentileLife(0.1, cancelled.Token));
        Asked(() => life.Reliability(1, cancelled.Token));
        Asked(() => life.MeanRemainingLife(1, cancelled.Token));
        return Finding.Kept($"{subject.Capabilities.BoundsMethods.Count} bounds methods");
    }

    public static Finding AtWork(LifeModelUnderTest subject)
    {
        var options = subject.Cheapest();
        var (small, _) = subject.Fitted(Lives, Watching.Censored, 43, options, $"An ordinary sample");
        var wentOn = 0;
        for (var lives = Fewest; lives <= Most; lives *= Growth)
        {
            var sample = Large(subject, lives);
            var (whole, refusal) = Shortest(subject.Model, sample, options);
            if (refusal is not null)
                return Finding.NotChecked($"It does not fit {lives} lives ({refusal.Reason}), and fewer too fast to be cancelled at work.");
            if (whole < LongEnough)
                continue;
            var starts = subject.ProcessStarts?.Invoke();
            if (IsStopped(subject.Model, sample, options, whole / 5) is not { } isStopped)
                continue;
            if (isStopped)
            {
                Afterwards(subject, small, options, starts);
                return Finding.Kept(
                    $"stopped at work on {lives} lives, and answered afterwards{(starts is null ? "" : " by the same process")}");
            }

            // On a busy machine the cancellation may come when hardly anything is left to do; hardly of four times as many lives too.
            wentOn++;
            Broken.Unless(wentOn < Sizes, $"Cancelled at work on {lives} lives it went on to the end, {Tries} times and more.");
        }

        Broken.Unless(wentOn == 0, $"Cancelled at work it went on to the end, {Tries} times and more, and was never stopped by it on more lives.");
        return Finding.NotChecked($"It fits {Most} lives faster than they can be cancelled.");
    }

    /// <summary>Whether one of some fits that were cancelled at work was stopped by it; null when too many had ended before.</summary>
    private static bool? IsStopped(ILifeModel model, LifeSample sample, FitOptions options, TimeSpan after)
    {
        var wentOn = 0;
        for (var k = 0; k < 2 * Tries && wentOn < Tries; k++)
        {
            switch (Cancelled(model, sample, options, after))
            {
                case true: return true;
                case false: wentOn++; break;
            }
        }

        return wentOn == Tries ? false : null;
    }

    /// <summary>Whoever asks next must get an answer, and of the process that was there before.</summary>
    private static void Afterwards(LifeModelUnderTest subject, LifeSample sample, FitOptions options, int? starts)
    {
        try
        {
            PurityRules.OnThreads(1, _ => subject.MustFit(sample, options, $"After a fit was cancelled at work"));
        }
        catch (BrokenRuleException broken)
        {
            throw new BrokenRuleException("The fit after one that was cancelled at work fails. " + broken.Message);
        }

        Broken.Unless(
            starts is null || subject.ProcessStarts!() == starts,
            $"Cancelled at work it went on and did not answer, so that its process was ended and started again: all who wait for it pay for one who left.");
    }

    /// <summary>How long a fit takes that nobody cancels, the shortest of some, for other work on the machine makes it longer; or why there is
    /// none.</summary>
    private static (TimeSpan Whole, NotEstimable? Refusal) Shortest(ILifeModel model, LifeSample sample, FitOptions options)
    {
        var shortest = TimeSpan.MaxValue;
        for (var k = 0; k < Runs && shortest > LongEnough; k++)
        {
            var watch = Stopwatch.StartNew();
            if (!model.Fit(sample, options).TryGet(out _, out var reason))
                return (watch.Elapsed, reason);
            shortest = watch.Elapsed < shortest ? watch.Elapsed : shortest;
        }

        return (shortest, null);
    }

    /// <summary>Whether a fit that was cancelled at work was stopped by it; null when it had ended before.</summary>
    private static bool? Cancelled(ILifeModel model, LifeSample sample, FitOptions options, TimeSpan after)
    {
        using var cancel = new CancellationTokenSource();
        var isStopped = false;
        Exception? thrown = null;
        var thread = new Thread(() =>
        {
            try
            {
                model.Fit(sample, options, cancel.Token);
            }
            catch (OperationCanceledException)
            {
                isStopped = true;
            }
#pragma warning disable CA1031 // Thrown again below, on the thread of the rule.
            catch (Exception e)
#pragma warning restore CA1031
            {
                thrown = e;
            }
        })
        {
            IsBackground = true,
        };
        thread.Start();
        var ended = thread.Join(after);
        cancel.Cancel();
        Broken.Unless(thread.Join(Patience), $"Cancelled at work it still works after {Patience.TotalMinutes} minutes.");
        Broken.Unless(thrown is null, $"Cancelled at work it threw {thrown?.GetType().Name}: {thrown?.Message}");
        return isStopped ? true : ended ? null : false;
    }

    /// <summary>A question may still be answered when that needs no work; else it ends as a fit does.</summary>
    private static void Asked(Func<BoundedEstimate> ask)
    {
        try
        {
            ask();
        }
        catch (OperationCanceledException)
        {
            // As it should.
        }
    }

    /// <summary>Many lives, all of different ages, made of some.</summary>
    private static LifeSample Large(LifeModelUnderTest subject, int lives)
    {
        var some = subject.Draw(Fewest, Watching.Censored, 42);
        var builder = new LifeSampleBuilder(lives);
        for (var i = 0; i < lives; i++)
        {
            var row = i % some.RowCount;
            var hours = some.LowerHours[row] * (1 + 0.1 * (i / some.RowCount * GoldenRatio % 1));
            if (some.Outcomes[row] == LifeOutcome.Survived)
                builder.AddSurvived(hours);
            else
                builder.AddFailed(hours, failureMode: some.FailureModes.IsEmpty || some.FailureModes[row] < 0 ? null : some.FailureModeNames[some.FailureModes[row]]);
        }

        return builder.Build();
    }
}
