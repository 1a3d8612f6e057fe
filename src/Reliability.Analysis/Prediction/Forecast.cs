using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.History.Catalogue;
using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>
/// One module's forecast. Chances are conditional on the module being alive at its estimated age (Meeker and Escobar 1998,
/// 12.2 for the problem); hours become dates at its rate of use.
/// </summary>
internal sealed class Forecast
{
    /// <summary>A reading older than this is worth a word (our own choice, no source).</summary>
    private const double StaleDays = 30;

    private const double Half = 0.5;

    /// <summary>Below this p-value two kinds of lives are said to differ (the usual one in twenty).</summary>
    private const double SmallPValue = 0.05;

    private static readonly double[] Fractions = [0.1, Half, 0.9];

    private readonly PredictionQuestion _question;
    private readonly DerivedModule _module;
    private readonly PredictionBasis _basis;
    private readonly UsageRate _usage;
    private readonly double? _ratedHours;
    private readonly CancellationToken _cancellationToken;
    private readonly double _daysSinceReading;
    private readonly AgeNow _age;
    private readonly NoteCollector _notes;

    public Forecast(
        PredictionQuestion question, DerivedModule module, PredictionBasis basis, UsageRate usage, double? ratedHours,
        CancellationToken cancellationToken)
    {
        (_question, _module, _basis, _usage, _ratedHours, _cancellationToken) =
            (question, module, basis, usage, ratedHours, cancellationToken);
        var lastSeen = module.LastReadingTime
            ?? module.Lives.FirstOrDefault(l => l.Number == module.CurrentLifeNumber)?.EndTime
            ?? question.AsOfTime;
        _daysSinceReading = Math.Max(0, (question.AsOfTime - lastSeen).TotalDays);
        _age = AgeNow.Of(module.Age!.Value, _daysSinceReading, usage);
        _notes = new([.. basis.Fit?.Warnings ?? [], .. basis.Predictive?.Warnings ?? []]);
    }

    private bool RatedHoursReached => _ratedHours is { } rated && _age.AgainstRatedHours >= rated;

    public Prediction Predict(IReadOnlyList<Caution> cautions)
    {
        var fit = _basis.Fit;
        var toRated = _ratedHours - _age.AgainstRatedHours;
        var ratedTime = RatedHoursReached ? _question.AsOfTime : Date(toRated, _usage.Greatest, "rated hours");
        var risk = fit is null ? null : RiskHours(fit);
        var riskTime = Date(risk, _usage.Value, "the risk limit");
        var (actBefore, reason) = Earlier(ratedTime, riskTime);
        var dates = fit is null ? [] : Fractions.Select(p => DateOf(fit, p)).ToList();
        var riskBeyond = IsBeyond(risk);
        var prediction = new Prediction
        {
            ModuleId = _module.ModuleId,
            ModelId = _module.ModelId!,
            Condition = _module.Condition!,
            Site = _module.Site,
            AsOfTime = _question.AsOfTime,
            ActBeforeTime = actBefore,
            ActBeforeReason = reason,
            RatedHours = _ratedHours,
            RatedHoursTime = ratedTime,
            RatedHoursReached = RatedHoursReached,
            RiskLimit = _question.RiskLimit,
            RiskLimitTime = riskBeyond && !_question.IncludeDatesBeyondRatedHours ? null : riskTime,
            AgeAtLastReading = _module.Age!.Value,
            LastReadingTime = _module.LastReadingTime,
            EstimatedAge = new(_age.Least, _age.Greatest),
            Usage = _usage,
            MedianRemainingHours = dates.Find(d => d.FailureFraction == Half)?.RemainingHours,
            MeanRemainingHours = fit is null
                ? null
                : OverAges("mean remaining life", a => fit.MeanRemainingLife(a, _cancellationToken)),
            FailureDates = dates,
            BeforeTime = _question.BeforeTime,
            FailureProbability = fit is null || _question.BeforeTime is not { } before ? null : ChanceBefore(fit, before),
            Basis = _basis,
            Cautions = cautions,
            Warnings = [],
        };
        Warn(riskBeyond || dates.Exists(d => d.BeyondRatedHours), riskBeyond || dates.Exists(d => d.Withheld));
        return prediction with { Warnings = _notes.Collected() };
    }

    /// <summary>Rated hours win a tie: they are the maker's word, the risk limit is an estimate.</summary>
    private static (DateTimeOffset?, ActBeforeReason) Earlier(DateTimeOffset? rated, DateTimeOffset? risk) => (rated, risk) switch
    {
        ({ } r, { } l) => l < r ? (l, ActBeforeReason.RiskLimit) : (r, ActBeforeReason.RatedHours),
        ({ } r, null) => (r, ActBeforeReason.RatedHours),
        (null, { } l) => (l, ActBeforeReason.RiskLimit),
        _ => (null, ActBeforeReason.None),
    };

    private FailureDate DateOf(IFittedLife fit, double fraction)
    {
        var what = $"the date by which {Words.Percent(fraction)} will have failed";
        var hours = OverAges(
            $"remaining life of {Words.Percent(fraction)}", a => Remaining(fit, a, fraction));
        var beyond = IsBeyond(hours.Value);
        var withheld = beyond && !_question.IncludeDatesBeyondRatedHours;
        var upperWithheld = IsBeyond(hours.Upper) && !_question.IncludeDatesBeyondRatedHours;
        return new()
        {
            FailureFraction = fraction,
            RemainingHours = hours,
            Time = withheld ? null : Date(hours.Value, _usage.Value, what),
            LowerTime = withheld ? null : Date(hours.Lower, _usage.Greatest, what),
            UpperTime = withheld || upperWithheld ? null : Date(hours.Upper, _usage.Least, $"the upper bound of {what}"),
            BeyondRatedHours = beyond,
            Withheld = withheld || upperWithheld,
        };
    }

    /// <summary>The chance at the estimated age and rate; bounds over the ranges of both.</summary>
    private BoundedEstimate? ChanceBefore(IFittedLife fit, DateTimeOffset before)
    {
        if (_usage.Value is not { } rate)
            return null;
        var days = (before - _question.AsOfTime).TotalDays;
        BoundedEstimate FailedWithin(double age, double hoursPerDay)
        {
            var survived = fit.ConditionalReliability(age, hoursPerDay * days, _cancellationToken);
            if (_basis.Predictive is { } predictive)
                survived = Holding(survived, predictive.Survival(age, hoursPerDay * days));
            return survived with
            {
                Value = 1 - survived.Value,
                Lower = 1 - survived.Upper,
                Upper = 1 - survived.Lower,
                Notes = [.. survived.Notes.Select(OfFailure)],
            };
        }

        if (IsBeyond(rate * days))
        {
            _notes.Warn(PredictionWarningCodes.BeyondRatedHours,
                "At the instant the chance of failure is given for, the module would be beyond its rated hours. That is no permission to run it so long.");
        }

        return Widened("chance of failure", FailedWithin(_age.Estimate, rate),
        [
            .. from age in new[] { _age.Least, _age.Greatest }.Distinct()
               from hoursPerDay in new[] { _usage.Least!.Value, _usage.Greatest!.Value }.Distinct()
               select FailedWithin(age, hoursPerDay),
        ]);
    }

    /// <summary>
    /// The predicted hours, within the bounds of the fitted percentile: those say how well the percentile of all such modules is known,
    /// the prediction is of this one. Where it lies outside them they are moved to it.
    /// </summary>
    private BoundedEstimate Remaining(IFittedLife fit, double age, double fraction)
    {
        var fitted = fit.RemainingLife(age, fraction, _cancellationToken);
        return _basis.Predictive is { } predictive ? Holding(fitted, predictive.RemainingLife(age, fraction)) : fitted;
    }

    /// <summary>Hours to the risk limit at whichever end of the age's range they are fewer.</summary>
    private double? RiskHours(IFittedLife fit) => new[] { _age.Least, _age.Estimate, _age.Greatest }.Distinct()
        .Select(age => Remaining(fit, age, _question.RiskLimit).Value).Min();

    private static BoundedEstimate Holding(BoundedEstimate bounds, double? value) => bounds with
    {
        Value = value,
        Lower = value < bounds.Lower ? value : bounds.Lower,
        Upper = value > bounds.Upper ? value : bounds.Upper,
        StandardError = null,
        Notes = value is null
            ? [.. bounds.Notes, new EngineWarning(WarningCodes.NoValue, "The hours are too many or too few to be written as a number.")]
            : bounds.Notes,
    };

    /// <summary>What was said of the chance of surviving, said of the chance of failing: a missing lower bound is a missing upper one.</summary>
    private static EngineWarning OfFailure(EngineWarning note) => note.Code switch
    {
        WarningCodes.NoLowerBound => new(WarningCodes.NoUpperBound, "There is no upper bound: the data do not exclude any great chance."),
        WarningCodes.NoUpperBound => new(WarningCodes.NoLowerBound, "There is no lower bound: the data do not exclude any small chance."),
        _ => note,
    };

    private BoundedEstimate OverAges(string quantity, Func<double, BoundedEstimate> at) => Widened(
        quantity, at(_age.Estimate), _age.IsRange ? [at(_age.Least), at(_age.Greatest)] : []);

    private BoundedEstimate Widened(string quantity, BoundedEstimate centre, IReadOnlyList<BoundedEstimate> ends)
    {
        _notes.Take(quantity, centre);
        BoundedEstimate[] all = [centre, .. ends];
        return centre with
        {
            Lower = all.Any(e => e.Lower is null) ? null : all.Min(e => e.Lower),
            Upper = all.Any(e => e.Upper is null) ? null : all.Max(e => e.Upper),
        };
    }

    private bool IsBeyond(double? furtherHours) => _ratedHours is { } rated && _age.AgainstRatedHours + furtherHours > rated;

    private DateTimeOffset? Date(double? hours, double? hoursPerDay, string what)
    {
        var date = UsageCalendar.After(_question.AsOfTime, hours, hoursPerDay, out var beyond);
        if (beyond)
            _notes.Warn(PredictionWarningCodes.BeyondCalendar, $"At the present use {what} lies beyond the calendar and is left out.");
        return date;
    }

    private void Warn(bool somethingBeyond, bool somethingWithheld)
    {
        if (_basis.Fit is not null && _basis.Predictive is null)
        {
            _notes.Warn(PredictionWarningCodes.ParameterUncertaintyNotIncluded,
                "The life model or these lives allow no prediction with the uncertainty of the parameters: chances and dates take them as if "
                + "they were known. With few failures more modules fail before the date than the risk limit says.");
        }

        if (_basis.Step != WideningStep.SameCondition)
            _notes.Warn(PredictionWarningCodes.Widened, _basis.Text);
        if (_basis.ConditionsTest?.PValue is { } p && p < SmallPValue)
        {
            _notes.Warn(PredictionWarningCodes.ConditionsDiffer, string.Create(CultureInfo.InvariantCulture,
                $"New and refurbished lives are taken to last equally long, but the log-rank test speaks against it (p-value {p:0.###}): for "
                + $"the one kind chances come out too small, for the other too great."));
        }

        WarnOfUsage();
        WarnOfAge();
        if (_ratedHours is null)
        {
            _notes.Warn(PredictionWarningCodes.NoRatedHours,
                "There are no rated hours on record for this module. The maker's recommended maximum holds all the same.");
        }

        if (somethingWithheld && !_question.IncludeDatesBeyondRatedHours)
            _notes.Warn(PredictionWarningCodes.DatesWithheld, "Dates beyond rated hours are left out; a prediction is no permission to exceed them.");
        else if (somethingBeyond)
        {
            _notes.Warn(PredictionWarningCodes.BeyondRatedHours,
                "Some dates lie beyond rated hours. They are given because they were asked for and are no permission to exceed them.");
        }
    }

    private void WarnOfUsage()
    {
        var rate = string.Create(CultureInfo.InvariantCulture, $"{_usage.Value:0.##} h a day");
        var text = _usage.Basis switch
        {
            UsageBasis.Assumed => $"Use of {rate} is assumed as asked, not measured on this module.",
            UsageBasis.Expected => $"Use of {rate} is what was expected at install; the module has too few readings to measure it.",
            UsageBasis.Cohort => $"Use of {rate} is the median of like modules; this one has too few readings to measure it. Its range is that of the lives on record, which is too narrow when they are few.",
            _ => null,
        };
        if (text is not null)
            _notes.Warn(PredictionWarningCodes.UsageNotMeasured, text);
        if (_usage.Value is null)
            _notes.Warn(PredictionWarningCodes.NoUsage, "Nothing on record says how many hours a day the module is used, so hours cannot become dates.");
        else if (_usage.Value == 0)
            _notes.Warn(PredictionWarningCodes.NoUsage, "By its readings the module is not being used, so hours cannot become dates.");
    }

    private void WarnOfAge()
    {
        if (_daysSinceReading > StaleDays)
        {
            _notes.Warn(PredictionWarningCodes.StaleReading, string.Create(CultureInfo.InvariantCulture,
                $"The meter was last read {_daysSinceReading:0} days before. The age since then is estimated, and the module is taken to be working still."));
        }

        if (!_module.Age!.Value.IsKnown)
            _notes.Warn(PredictionWarningCodes.AgeIsRange, "The record gives the age as a range. Remaining hours start from its middle, and their bounds take in both ends.");
        if (!RatedHoursReached)
            return;
        if (_age.Least < _ratedHours)
        {
            _notes.Warn(PredictionWarningCodes.RatedHoursUncertain,
                "The age is not known well enough to tell whether rated hours are reached; they are taken as reached.");
        }
        else
        {
            _notes.Warn(PredictionWarningCodes.RatedHoursReached, "Rated hours are reached.");
        }
    }
}
