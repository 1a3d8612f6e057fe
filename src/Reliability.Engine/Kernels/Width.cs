using System.Runtime.Intrinsics;

namespace Reliability.Engine.Kernels;

/// <summary>The widest lanes that this machine works on in one go.</summary>
internal static class Width
{
    public static bool Is512 => Vector512.IsHardwareAccelerated;

    public static bool Is256 => Vector256.IsHardwareAccelerated;

    /// <summary>Doubles at once.</summary>
    public static int Lanes => Is512 ? 8 : Is256 ? 4 : 2;
}
