namespace Reliability.Engine.Families;

/// <summary>A way to bound a quantity of a fitted member of a family by the likelihood.</summary>
internal interface IFamilyBounds
{
    /// <summary>The extreme of a quantity over the parameters whose likelihood is high enough.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="sign">+1 for the greatest value, -1 for the least.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The extreme on the quantity's transformed scale, or why there is none.</returns>
    FamilyBound Extreme(FamilyQuantity quantity, int sign, CancellationToken cancellationToken);
}
