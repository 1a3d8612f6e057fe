using System.Collections.Frozen;
using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Catalog;
using Reliability.Engine.Fitting;

namespace Reliability.Engine.Families;

/// <summary>
/// One Weibull a failure mode, each fitted with the failures of other modes as survivors, and their series system (Nelson 1982, ch. 5;
/// Kalbfleisch and Prentice 2002, 8.2). The modes are taken to be independent, which lives cannot show (Tsiatis, PNAS 72 (1975) 20-22).
/// </summary>
/// <param name="weibull">The Weibull that each mode is fitted by.</param>
internal sealed class CompetingModel(ILifeModel weibull) : ILifeModel
{
    private const int MostModes = 20;
    private const string Unknown = "unknown";

    public LifeModelDescription Description { get; } = new(
        "weibull-competing",
        "Competing Weibulls",
        [ParameterDescription.Positive("shape"), ParameterDescription.Positive("scale", "hours")],
        new LifeModelCapabilities
        {
            SupportsLateEntry = true,
            ScaleEquivariant = true,
            FitsFailureModes = true,
            BoundsMethods = FrozenSet.Create(BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation),
        },
        weibull.Description.Plot,
        EngineVersion.Text,
        "Nelson 1982, ch. 5; Kalbfleisch and Prentice 2002, 8.2")
    {
        PlugIn = EngineVersion.BuiltIn,
    };

    /// <summary>None: how many parameters there are depends on the lives; a fit shows its own.</summary>
    public ILifeFamily? Family => null;

    public Estimable<IFittedLife> Fit(
        LifeSample sample, FitOptions options, CancellationToken cancellationToken = default)
    {
        FitRequest.Check(Description, sample, options);
        if (Refusal(sample) is { } refusal)
            return refusal;
        var (names, modes, unknown) = ModesOf(sample);
        var lives = new List<IFittedLife>();
        for (var j = 0; j < names.Count; j++)
        {
            if (!weibull.Fit(OfMode(sample, modes, j), options, cancellationToken).TryGet(out var life, out var reason))
                return reason with { Text = $"Failure mode {names[j]}: {reason.Text}" };
            lives.Add(life);
        }

        var family = new SeriesWeibullFamily(names);
        var description = Description with { Parameters = family.Parameters };
        var surface = new Surface(
            new CompetingLikelihood(family, sample, modes), new FreeParameters(family.Parameters, FrozenDictionary<string, double>.Empty));
        if (MaximumOf(surface, lives, cancellationToken) is not { } maximum)
        {
            return new NotEstimable(
                NotEstimableReasons.SingularInformation, "The information about the parameters of a failure mode cannot be written as numbers.");
        }

        double[] parameters = [.. lives.SelectMany(life => life.Parameters.Select(p => p.Estimate.Value!.Value))];
        return Estimable<IFittedLife>.Of(new FittedFamilyLife(
            description, surface, maximum, FamilyRegion.For(surface, maximum, options), options, Warnings(sample, modes, names, unknown),
            cancellationToken,
            [.. lives.SelectMany((life, j) => life.Parameters.Select((p, k) => p with { Name = family.Parameters[2 * j + k].Name }))])
        {
            Modes =
            [
                .. names.Select((name, j) => new FittedWeibullMode(family, parameters, j, lives[j])
                {
                    Name = name,
                    IsUnknown = j == unknown,
                    FailureCount = Failures(sample, modes, j),
                }),
            ],
        });
    }

    private NotEstimable? Refusal(LifeSample sample)
    {
        if (FamilyModel.Unestimable(sample, Description.DisplayName) is { } reason)
            return reason;
        if (sample.HasIntervals)
        {
            return new NotEstimable(
                NotEstimableReasons.IntervalOutcomes,
                "Some lives failed between two ages: what they say of a mode hangs on all the others, and no mode has a likelihood of its own.");
        }

        if (sample.FailureModeNames.Count == 0)
            return new NotEstimable(NotEstimableReasons.NoFailureModes, "No failure of these lives has a mode on record.");
        return sample.FailureModeNames.Count > MostModes
            ? new NotEstimable(
                NotEstimableReasons.TooManyFailureModes,
                $"There are {sample.FailureModeNames.Count} failure modes, more than {MostModes}: too many for bounds of the whole.")
            : null;
    }

    /// <summary>Names of the modes that failed, the unknown last; the place of each row's; and the place of the unknown, or -1.</summary>
    private static (List<string> Names, int[] Modes, int Unknown) ModesOf(LifeSample sample)
    {
        var names = sample.FailureModeNames.ToList();
        var modes = sample.FailureModes.ToArray();
        var unknown = -1;
        for (var i = 0; i < modes.Length; i++)
        {
            if (sample.Outcomes[i] == LifeOutcome.Survived || modes[i] >= 0)
                continue;
            if (unknown < 0)
            {
                unknown = names.Count;
                names.Add(names.Contains(Unknown) ? Unknown + " mode" : Unknown);
            }

            modes[i] = unknown;
        }

        return (names, modes, unknown);
    }

    /// <summary>The lives with the failures of other modes as survivors.</summary>
    private static LifeSample OfMode(LifeSample sample, int[] modes, int mode)
    {
        var builder = new LifeSampleBuilder(sample.RowCount);
        for (var i = 0; i < sample.RowCount; i++)
        {
            var (hours, entry, count) = (sample.LowerHours[i], sample.EntryHours[i], sample.Counts[i]);
            _ = sample.Outcomes[i] == LifeOutcome.Failed && modes[i] == mode
                ? builder.AddFailed(hours, entry, count)
                : builder.AddSurvived(hours, entry, count);
        }

        return builder.Build();
    }

    private static double Failures(LifeSample sample, int[] modes, int mode)
    {
        double failures = 0;
        for (var i = 0; i < modes.Length; i++)
            failures += sample.Outcomes[i] == LifeOutcome.Failed && modes[i] == mode ? sample.Counts[i] : 0;
        return failures;
    }

    /// <summary>The likelihood is a sum over modes: so is its maximum, and the information falls into blocks.</summary>
    private static FamilyMaximum? MaximumOf(Surface surface, List<IFittedLife> lives, CancellationToken cancellationToken)
    {
        var size = 2 * lives.Count;
        var (point, root) = (new double[size], new double[size, size]);
        for (var j = 0; j < lives.Count; j++)
        {
            if (lives[j].Covariance.Count != 4 || lives[j].Parameters.Any(p => p.Estimate.Value is not > 0))
                return null;
            var (shape, scale) = (lives[j].Parameters[0].Estimate.Value!.Value, lives[j].Parameters[1].Estimate.Value!.Value);
            var covariance = lives[j].Covariance;
            var (a, b, c) = (covariance[0] / shape / shape, covariance[1] / shape / scale, covariance[3] / scale / scale);
            var k = 2 * j;
            (point[k], point[k + 1]) = (Math.Log(shape), Math.Log(scale));
            root[k, k] = Math.Sqrt(a);
            root[k + 1, k] = b / root[k, k];
            root[k + 1, k + 1] = Math.Sqrt(c - root[k + 1, k] * root[k + 1, k]);
            if (!double.IsFinite(root[k + 1, k]) || !(root[k + 1, k + 1] > 0))
                return null;
        }

        var value = surface.At(point, cancellationToken);
        return double.IsFinite(value) ? new FamilyMaximum(point, value, root, 0) : null;
    }

    private static List<EngineWarning> Warnings(LifeSample sample, int[] modes, List<string> names, int unknown)
    {
        var warnings = FitWarnings.Of(sample);
        warnings.Add(new EngineWarning(
            WarningCodes.IndependentModes,
            "The failure modes are taken to work independently, which these lives cannot show; the fit of a single mode tells of lives as if "
            + "the other modes were absent."));
        if (unknown >= 0)
        {
            warnings.Add(new EngineWarning(
                WarningCodes.UnknownFailureModes,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{Failures(sample, modes, unknown):G6} failures have no mode on record; they are taken as a mode of their own, ")
                + $"{names[unknown]}. The whole is right with them, but every named mode looks better than it is by those that were its own."));
        }

        return warnings;
    }
}
