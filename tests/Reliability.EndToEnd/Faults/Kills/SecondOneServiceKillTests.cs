using Xunit;

namespace Reliability.EndToEnd.Faults.Kills;

/// <summary>The other half, beside it: restarts mostly wait, and classes run side by side.</summary>
public sealed class SecondOneServiceKillTests(CleanLoad clean, ITestOutputHelper output) : OneServiceKillTests(clean, output)
{
    protected override int Kills => 12;

    protected override int Seed => 49;
}
