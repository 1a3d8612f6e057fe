namespace Reliability.Analysis.Tests.BiasStudy;

/// <summary>Someone looked at a module.</summary>
/// <param name="Day">Day of the visit, counted from the opening of the records.</param>
/// <param name="Shown">What the host's meter showed, hours.</param>
/// <param name="Typed">What was typed into the record.</param>
/// <param name="Working">Whether the module worked.</param>
/// <param name="IsMoment">Whether it failed at that moment, and was not found failed.</param>
internal sealed record SimulatedVisit(double Day, double Shown, double Typed, bool Working, bool IsMoment);
