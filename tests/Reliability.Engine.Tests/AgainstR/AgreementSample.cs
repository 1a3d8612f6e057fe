using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Tests.AgainstR;

/// <summary>A sample and what is asked about it.</summary>
internal sealed record AgreementSample(int Number, string Task, LifeSample Lives);
