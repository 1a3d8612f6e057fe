using Reliability.PlugIn.V1;

namespace Reliability.Engine.Remote.Models;

/// <summary>The axes that a description asks for, checked.</summary>
/// <param name="Hours">The axis of hours.</param>
/// <param name="Fraction">The axis of failed fractions.</param>
/// <param name="StraightParameters">Parameters at which the family is straight on an axis of its own; else empty.</param>
internal sealed record RemoteAxes(HoursScale Hours, FractionScale Fraction, double[] StraightParameters);
