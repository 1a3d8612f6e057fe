namespace Reliability.Engine.Abstractions;

/// <summary>Why a sample cannot be answered: a property of the data, not an error.</summary>
/// <param name="Reason">A code of <see cref="NotEstimableReasons"/>, or a plug-in's own in UPPER_SNAKE form.</param>
/// <param name="Text">One or two plain sentences for the reader.</param>
public sealed record NotEstimable(string Reason, string Text);
