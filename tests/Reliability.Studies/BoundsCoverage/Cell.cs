using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Studies.BoundsCoverage;

/// <summary>A cell of the study: a model with its truth, a plan, and how many failures are expected of how many lives.</summary>
/// <param name="Model">The life model; "lognormal" with sigma 1 / shape.</param>
/// <param name="Plan">How lives are watched.</param>
/// <param name="Failures">Failures expected (set, when failure-terminated).</param>
/// <param name="Censored">Share of lives that survive.</param>
/// <param name="Shape">The true shape.</param>
internal sealed record Cell(string Model, StudyPlan Plan, int Failures, double Censored, double Shape)
{
    public const double Scale = 1000;

    public string Name => string.Create(
        CultureInfo.InvariantCulture, $"{Model}-{Plan}-r{Failures}-c{Censored * 100:0}-b{Shape}").ToLowerInvariant();

    public int Lives => (int)Math.Round(Failures / (1 - Censored));

    /// <summary>The true quantities by name.</summary>
    public IReadOnlyList<(string Name, double Truth, Func<IFittedLife, BoundedEstimate> Ask)> Quantities
    {
        get
        {
            var (b20, b1, b10) = (Percentile(0.2), Percentile(0.01), Percentile(0.1));
            return
            [
                ("shape", Model == "lognormal" ? 1 / Shape : Shape, fit => fit.Parameters[Model == "lognormal" ? 1 : 0].Estimate),
                ("scale", Model == "lognormal" ? Math.Log(Scale) : Scale, fit => fit.Parameters[Model == "lognormal" ? 0 : 1].Estimate),
                ("B1", b1, fit => fit.PercentileLife(0.01)),
                ("B10", b10, fit => fit.PercentileLife(0.1)),
                ("mean", Mean(), fit => fit.Mean()),
                ("R(B20)", 0.8, fit => fit.Reliability(b20)),
                ("R(B20 | B10)", 0.8 / 0.9, fit => fit.ConditionalReliability(b10, b20 - b10)),
            ];
        }
    }

    /// <summary>
    /// The share of lives that fail by the age a quantity speaks of, over the share that fails by the oldest age: what
    /// CALIBRATION_LIMITED goes by, at the truth. Null where there is no such age.
    /// </summary>
    public double? Place(string quantity)
    {
        double? hours = quantity switch
        {
            "scale" => Scale,
            "B1" => Percentile(0.01),
            "B10" => Percentile(0.1),
            "mean" => Mean(),
            "R(B20)" or "R(B20 | B10)" => Percentile(0.2),
            _ => null,
        };
        return Plan == StudyPlan.FailureTerminated ? null : Failed(hours ?? double.NaN) / Failed(EndOf(1 - 0.5 / Lives, GreatestEnd)) is var place && double.IsFinite(place) ? place : null;
    }

    /// <summary>A simulated sample of a study, the same whichever study asks for it.</summary>
    /// <param name="seed">Seed of the study.</param>
    /// <param name="index">Which sample.</param>
    public LifeSample Sample(int seed, int index)
    {
        unchecked
        {
            var hash = 2166136261u;
            foreach (var letter in Name)
                hash = (hash ^ letter) * 16777619u;
            return Sample(new Random((int)((hash ^ (uint)seed * 2654435769u) + (uint)index * 2246822519u)));
        }
    }

    /// <summary>One simulated sample.</summary>
    public LifeSample Sample(Random random)
    {
        var builder = new LifeSampleBuilder(Lives);
        if (Plan == StudyPlan.FailureTerminated)
        {
            double[] ages = [.. Enumerable.Range(0, Lives).Select(_ => Life(random)).Order()];
            for (var i = 0; i < ages.Length; i++)
                _ = i < Failures ? builder.AddFailed(ages[i]) : builder.AddSurvived(ages[Failures - 1]);
            return builder.Build();
        }

        var greatest = GreatestEnd;
        for (var i = 0; i < Lives; i++)
            Add(builder, random, greatest, (i + 0.5) / Lives);
        return builder.Build();
    }

    private void Add(LifeSampleBuilder builder, Random random, double greatest, double place)
    {
        var end = EndOf(place, greatest);
        var entry = Plan == StudyPlan.LateEntry && random.NextDouble() < 0.5 ? 0.5 * end * random.NextDouble() : 0;
        double life;
        do
        {
            life = Life(random);
        }
        while (life <= entry);
        if (life >= end)
        {
            builder.AddSurvived(end, entry);
            return;
        }

        switch (Plan)
        {
            case StudyPlan.Inspected:
                var gap = greatest / 10;
                var lower = Math.Floor(life / gap) * gap;
                builder.AddBetween(lower, lower + gap);
                break;
            case StudyPlan.OwnInspections:
                var width = greatest / 8 * (0.5 + random.NextDouble());
                var from = Math.Max(0, life - width * random.NextDouble());
                builder.AddBetween(from, from + width);
                break;
            default:
                builder.AddFailed(life, entry);
                break;
        }
    }

    private double EndOf(double place, double greatest) => Plan switch
    {
        StudyPlan.TimeTerminated or StudyPlan.Inspected => greatest,
        StudyPlan.Fleet => Math.Min(1.6 * greatest * place + 0.02 * greatest, greatest),
        _ => greatest * (0.25 + 0.75 * place),
    };

    /// <summary>The greatest end for which the expected share that survives is the cell's.</summary>
    private double GreatestEnd
    {
        get
        {
            double low = 1e-6 * Scale, high = 1e6 * Scale;
            for (var i = 0; i < 200; i++)
            {
                var middle = Math.Sqrt(low * high);
                var survive = Enumerable.Range(0, 200).Average(k => 1 - Failed(EndOf((k + 0.5) / 200, middle)));
                if (survive > Censored)
                    low = middle;
                else
                    high = middle;
            }

            return Math.Sqrt(low * high);
        }
    }

    private double Life(Random random) => Percentile(1 - random.NextDouble());

    private double Failed(double age)
    {
        var z = Shape * Math.Log(age / Scale);
        return Model switch
        {
            "weibull" => 1 - Math.Exp(-Math.Exp(z)),
            "lognormal" => MathNet.Numerics.Distributions.Normal.CDF(0, 1, z),
            _ => 1 / (1 + Math.Exp(-z)),
        };
    }

    private double Percentile(double fraction)
    {
        var z = Model switch
        {
            "weibull" => fraction >= 1 ? 3.7 : Math.Log(-Math.Log(1 - fraction)),
            "lognormal" => MathNet.Numerics.Distributions.Normal.InvCDF(0, 1, Math.Min(fraction, 1 - 1e-16)),
            _ => Math.Log(fraction / Math.Max(1 - fraction, 1e-16)),
        };
        return Scale * Math.Exp(z / Shape);
    }

    private double Mean() => Model switch
    {
        "weibull" => Scale * MathNet.Numerics.SpecialFunctions.Gamma(1 + 1 / Shape),
        "lognormal" => Scale * Math.Exp(0.5 / (Shape * Shape)),
        _ => Scale * Math.PI / Shape / Math.Sin(Math.PI / Shape),
    };
}
