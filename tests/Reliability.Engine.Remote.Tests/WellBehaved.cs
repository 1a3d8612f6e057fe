namespace Reliability.Engine.Remote.Tests;

/// <summary>The hostile program without a vice, for tests that share it.</summary>
public sealed class WellBehaved : IDisposable
{
    internal Hosted Hosted { get; } = new Hosted("none").Up();

    public void Dispose() => Hosted.Dispose();
}
