using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Tests.AgainstR;

/// <summary>The samples that R and the engine are both asked about: the same in every run.</summary>
internal static class AgreementSamples
{
    /// <summary>Samples for fits: 5 to 2,000 lives, every outcome, a quarter with late entry, some with ties and counts.</summary>
    public static IReadOnlyList<AgreementSample> Fits { get; } = [.. Enumerable.Range(0, 500).Select(Fit)];

    /// <summary>Small samples for the estimates without a model.</summary>
    public static IReadOnlyList<AgreementSample> WithoutModel { get; } =
    [
        .. Enumerable.Range(1000, 24).Select(i => Small(i, "survival")),
        .. Enumerable.Range(2000, 12).Select(i => Small(i, "incidence")),
        .. Enumerable.Range(3000, 24).Select(i => Small(i, "turnbull")),
    ];

    /// <summary>All of them as the table that agreement.R reads.</summary>
    public static string Table()
    {
        var text = new System.Text.StringBuilder("task\tsample\toutcome\tlower\tupper\tentry\tcount\tmode\n");
        foreach (var sample in (IEnumerable<AgreementSample>)[.. Fits, .. WithoutModel])
        {
            var lives = sample.Lives;
            for (var i = 0; i < lives.RowCount; i++)
            {
                var mode = lives.FailureModes.IsEmpty || lives.FailureModes[i] < 0
                    ? "0"
                    : lives.FailureModeNames[lives.FailureModes[i]];
                text.Append(CultureInfo.InvariantCulture,
                    $"{sample.Task}\t{sample.Number}\t{(int)lives.Outcomes[i]}\t{lives.LowerHours[i]:R}\t{lives.UpperHours[i]:R}\t{lives.EntryHours[i]:R}\t{lives.Counts[i]:R}\t{mode}\n");
            }
        }

        return text.ToString();
    }

    private static AgreementSample Fit(int number)
    {
        var random = new Random(20261128 + number);
        var family = number % 4;
        var shape = family == 1 ? 1 : Math.Exp(Uniform(random, Math.Log(0.3), Math.Log(8)));
        var plan = new SamplePlan(
            Lives: (int)Math.Round(Math.Exp(Uniform(random, Math.Log(5), Math.Log(2000)))),
            Family: family,
            Shape: shape,
            Scale: Math.Pow(10, Uniform(random, -6, 6)),
            ExactShare: random.Next(3) switch { 0 => 1, 1 => 0.7, _ => 0.3 },
            LateEntry: random.Next(4) == 0,
            Digits: random.Next(5) == 0 ? 2 : 10,
            GreatestCount: random.Next(4) == 0 ? (random.Next(2) == 0 ? 5 : 1000) : 1,
            Modes: 0);
        return new AgreementSample(number, "fit", Drawn(plan, random, distinctFailures: plan.LateEntry ? 4 : 2));
    }

    private static AgreementSample Small(int number, string task)
    {
        var random = new Random(20261128 + number);
        var plan = new SamplePlan(
            Lives: 5 + random.Next(30),
            Family: number % 4,
            Shape: Math.Exp(Uniform(random, Math.Log(0.5), Math.Log(4))),
            Scale: Math.Pow(10, Uniform(random, -3, 4)),
            ExactShare: task == "turnbull" ? 0.2 : 1,
            LateEntry: number % 2 == 0,
            Digits: number % 3 == 0 ? 2 : 10,
            GreatestCount: number % 4 == 3 ? 5 : 1,
            Modes: task == "incidence" ? 3 : 0);
        return new AgreementSample(number, task, Drawn(plan, random, distinctFailures: 2));
    }

    /// <summary>Draws until enough failures at different known ages, with a life beyond the first, see to it that fits exist.</summary>
    private static LifeSample Drawn(SamplePlan plan, Random random, int distinctFailures)
    {
        for (var attempt = 0; attempt < 1000; attempt++)
        {
            var builder = new LifeSampleBuilder(plan.Lives);
            var ages = new HashSet<double>();
            for (var i = 0; i < plan.Lives; i++)
            {
                if (Add(builder, plan, random) is { } age)
                    ages.Add(age);
            }

            if (ages.Count >= distinctFailures)
                return builder.Build();
        }

        throw new InvalidOperationException($"No sample with {distinctFailures} failures: {plan}.");
    }

    /// <summary>Adds a life; gives the age of a failure that is known.</summary>
    private static double? Add(LifeSampleBuilder builder, SamplePlan plan, Random random)
    {
        var watchedFrom = plan.LateEntry && random.Next(5) < 3 ? Uniform(random, 0.01, 0.5) : 0;
        var entry = watchedFrom > 0 ? plan.Rounded(plan.Quantile(watchedFrom)) : 0;
        var life = plan.Rounded(plan.Quantile(Uniform(random, watchedFrom, 1)));
        var end = plan.Rounded(plan.Quantile(random.Next(2) == 0 ? 0.8 : Uniform(random, watchedFrom, 1)));
        var count = 1.0 + random.Next(plan.GreatestCount);
        if (Math.Min(life, end) <= entry)
            entry = 0;
        if (life > end)
        {
            builder.AddSurvived(end, entry, count);
            return null;
        }

        if (random.NextDouble() < plan.ExactShare)
        {
            var mode = plan.Modes == 0 ? null : (1 + random.Next(plan.Modes)).ToString(CultureInfo.InvariantCulture);
            builder.AddFailed(life, entry, count, failureMode: mode);
            return life;
        }

        // Found at a visit, known working at the one before, or never seen before.
        var before = random.Next(4) == 0 ? entry : Math.Max(entry, plan.Rounded(life * Uniform(random, 0.3, 0.95)));
        var found = plan.Rounded(life * Uniform(random, 1, 1.5));
        builder.AddBetween(Math.Min(before, plan.Rounded(found * 0.9) > entry ? plan.Rounded(found * 0.9) : entry), found, entry, count);
        return null;
    }

    private static double Uniform(Random random, double least, double greatest) => least + (greatest - least) * random.NextDouble();

    private sealed record SamplePlan(
        int Lives, int Family, double Shape, double Scale, double ExactShare, bool LateEntry, int Digits, int GreatestCount, int Modes)
    {
        /// <summary>Weibull, exponential, about lognormal, loglogistic.</summary>
        public double Quantile(double fraction)
        {
            // Away from the ends, so that ages stay within some orders of the scale.
            var f = Math.Clamp(fraction, 1e-4, 1 - 1e-4);
            return Scale * Math.Pow(Family switch
            {
                0 or 1 => -Math.Log(1 - f),
                2 => Math.Exp(Normal(f)),
                _ => f / (1 - f),
            }, 1 / Shape);
        }

        /// <summary>To so many digits, so that the last bits of a machine's logarithms do not matter.</summary>
        public double Rounded(double hours) =>
            double.Parse(hours.ToString("E" + (Digits - 1).ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

        /// <summary>A quantile near the normal one (Tukey's lambda of 0.14): these are lives to fit, not a test of the normal.</summary>
        private static double Normal(double f) => (Math.Pow(f, 0.1349) - Math.Pow(1 - f, 0.1349)) / 0.1975;
    }
}
