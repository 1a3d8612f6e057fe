namespace Reliability.Engine.Abstractions;

/// <summary>Something the reader of an answer should know.</summary>
/// <param name="Code">A code of <see cref="WarningCodes"/>, or a plug-in's own in UPPER_SNAKE form.</param>
/// <param name="Text">One or two plain sentences.</param>
public sealed record EngineWarning(string Code, string Text);
