using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Fitting;

/// <summary>Turns transformed numbers into an estimate in which nothing is NaN or infinite and every gap has a reason.</summary>
internal sealed class EstimateBuilder(QuantityScale scale, BoundSide side)
{
    private readonly List<EngineWarning> _notes = [];
    private double? _value;
    private double? _standardError;
    private double? _lower;
    private double? _upper;
    private BoundSide _side = side;

    public void Value(double transformed, double standardError)
    {
        _value = Representable(scale.Natural(transformed));
        if (_value is null)
        {
            _notes.Add(new EngineWarning(
                WarningCodes.NoValue, "The quantity does not exist for this fit, or is too great or too small to be written as a number."));
            return;
        }

        var natural = standardError * scale.NaturalSlope(transformed);
        _standardError = double.IsFinite(natural) ? natural : null;
    }

    public void Bounds(FoundBounds transformed)
    {
        if (transformed.Note is { } note)
            _notes.Add(note);
        if (transformed.OtherNote is { } other)
            _notes.Add(other);
        var (lowNotFound, highNotFound) = scale.IsReversed()
            ? (transformed.IsUpperNotFound, transformed.IsLowerNotFound)
            : (transformed.IsLowerNotFound, transformed.IsUpperNotFound);
        var (low, high) = scale.IsReversed() ? (transformed.Upper, transformed.Lower) : (transformed.Lower, transformed.Upper);
        _lower = low is { } l ? Representable(scale.Natural(l)) : null;
        _upper = high is { } h ? Representable(scale.Natural(h)) : null;

        // A failed fraction is bounded from above where a life is bounded from below.
        if (_side == BoundSide.Lower && _lower is null && _upper is not null)
            _side = BoundSide.Upper;
        if (_lower is null && _side != BoundSide.Upper)
        {
            _notes.Add(new EngineWarning(
                WarningCodes.NoLowerBound,
                lowNotFound
                    ? "The lower bound was not found: the search for it failed, which says nothing about the data."
                    : "There is no lower bound: the data do not exclude any small value, or it is too small to be written."));
        }

        if (_upper is null && _side != BoundSide.Lower)
        {
            _notes.Add(new EngineWarning(
                WarningCodes.NoUpperBound,
                highNotFound
                    ? "The upper bound was not found: the search for it failed, which says nothing about the data."
                    : "There is no upper bound: the data do not exclude any great value, or it is too great to be written."));
        }
    }

    public BoundedEstimate Build() => new()
    {
        Value = _value,
        Lower = _lower,
        Upper = _upper,
        StandardError = _standardError,
        Side = _side,
        Notes = _notes,
    };

    private double? Representable(double value) =>
        double.IsFinite(value) && (value != 0 || scale != QuantityScale.Log) ? value : null;
}
