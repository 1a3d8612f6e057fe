namespace Reliability.Engine.Abstractions;

/// <summary>
/// The version of this contract: that of its assembly, which is not the product's. A plug-in says by its reference to the assembly which one it was
/// built for. Within a major version the contract only grows, by members that have a default; a plug-in of another major version, or of a
/// later minor one, is refused with that as the reason.
/// </summary>
public static class ContractVersion
{
    private static readonly Version Assembly = typeof(ContractVersion).Assembly.GetName().Version ?? new Version(0, 0);

    /// <summary>Changes when a plug-in that was built before no longer works.</summary>
    public static int Major => Assembly.Major;

    /// <summary>Changes when something is added.</summary>
    public static int Minor => Assembly.Minor;

    /// <summary>Why a plug-in cannot be used with this contract.</summary>
    /// <param name="builtFor">The version of the contract that it was built for.</param>
    /// <returns>One plain sentence; null when it can be used.</returns>
    public static string? Refusal(Version builtFor)
    {
        ArgumentNullException.ThrowIfNull(builtFor);
        return builtFor.Major == Major && builtFor.Minor <= Minor
            ? null
            : $"It was built for version {builtFor.Major}.{builtFor.Minor} of the contract; this engine has {Major}.{Minor} and takes plug-ins built for "
              + $"{Major}.0 to {Major}.{Minor}.";
    }
}
