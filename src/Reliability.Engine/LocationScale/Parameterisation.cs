using Reliability.Engine.Abstractions;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.LocationScale;

/// <summary>How the named parameters of a life model relate to the location and sigma of log time.</summary>
internal abstract class Parameterisation
{
    /// <summary>Parameters in order.</summary>
    public abstract IReadOnlyList<ParameterDescription> Parameters { get; }

    /// <summary>The quantity whose bounds are the bounds of a parameter, in order.</summary>
    public abstract IReadOnlyList<LifeQuantity> Quantities { get; }

    /// <summary>The parameter that may be held, which fixes u; null when there is none.</summary>
    public abstract string? FixableParameter { get; }

    /// <summary>The u that holds when nothing is fixed by request: a number for one-parameter models, else null.</summary>
    public virtual double? ConstantU => null;

    /// <summary>u when the fixable parameter has a value.</summary>
    public abstract double FixedU(double value);

    /// <summary>Location and sigma of log hours from named parameters.</summary>
    public abstract (double Location, double Sigma) ToLocationScale(ReadOnlySpan<double> parameters);

    /// <summary>Derivatives of each named parameter by u and v at a fitted life.</summary>
    public abstract IReadOnlyList<(double ByU, double ByV)> Jacobian(LogTimeLife life);

    /// <summary>Index of the fixable parameter.</summary>
    public int FixableIndex
    {
        get
        {
            for (var i = 0; i < Parameters.Count; i++)
            {
                if (Parameters[i].Name == FixableParameter)
                    return i;
            }

            return -1;
        }
    }
}
