namespace Reliability.Analysis;

/// <summary>Asks what is left after an age already reached.</summary>
/// <param name="AgeHours">The age already reached, in run-hours, 0 or more.</param>
/// <param name="HorizonHours">Further run-hours for which the chance of survival is wanted, each 0 or more.</param>
public sealed record RemainingLifeQuestion(double AgeHours, IReadOnlyList<double> HorizonHours);
