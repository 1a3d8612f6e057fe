using Xunit;

namespace Reliability.EndToEnd.Faults.Kills;

/// <summary>One half of the kills: restarts mostly wait, and classes run side by side.</summary>
public sealed class FirstOneServiceKillTests(CleanLoad clean, ITestOutputHelper output) : OneServiceKillTests(clean, output)
{
    protected override int Kills => 13;

    protected override int Seed => 43;
}
