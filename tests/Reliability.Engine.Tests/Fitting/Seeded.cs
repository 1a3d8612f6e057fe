using CsCheck;

namespace Reliability.Engine.Tests.Fitting;

/// <summary>Runs a property over generated cases that are the same in every run.</summary>
internal static class Seeded
{
    /// <summary>Checks cases 0, 1, ...; a failure names its case, which alone can be run again.</summary>
    public static void Cases<T>(this Gen<T> gen, int cases, Action<T> assert, int first = 0)
    {
        for (var i = first; i < first + cases; i++)
        {
            var value = gen.Generate(new PCG((uint)i, 20260117), null, out _);
            try
            {
                assert(value);
            }
            catch (Exception e)
            {
                throw new InvalidOperationException($"Case {i}: {e.Message}", e);
            }
        }
    }
}
