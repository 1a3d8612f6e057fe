using Reliability.History.Catalogue;
using Reliability.History.Derivation;

namespace Reliability.History.Lives;

/// <summary>
/// Lives out of a module's record. Pure and total: the same record in any order gives the same lives, and no record of valid
/// events makes it throw.
/// </summary>
public static class LifeDerivation
{
    /// <summary>Derives state, lives and the standing of each event.</summary>
    /// <param name="record">All that is recorded of the module, in any order.</param>
    /// <param name="catalogue">The module models known.</param>
    /// <param name="options">Cut-off, policy and choices; null for the default view.</param>
    public static DerivedModule Derive(
        ModuleRecord record, ModuleCatalogue catalogue, DerivationOptions? options = null) =>
        new RecordDerivation(record, catalogue, options ?? DerivationOptions.Default).Run();
}
