namespace Reliability.Engine.Kernels;

/// <summary>
/// A few doubles that the processor works on at once. Kernels are written once over this and compiled for each width; which width a
/// machine has is asked in <see cref="Width"/>. Exponential and logarithm are the base library's.
/// </summary>
internal interface ILanes<TSelf>
    where TSelf : struct, ILanes<TSelf>
{
    /// <summary>How many doubles.</summary>
    static abstract int Count { get; }

    /// <summary>Reads them from memory.</summary>
    static abstract TSelf Load(ref readonly double source, int index);

    /// <summary>The same number in all.</summary>
    static abstract TSelf All(double value);

    static abstract TSelf operator +(TSelf left, TSelf right);

    static abstract TSelf operator -(TSelf left, TSelf right);

    static abstract TSelf operator *(TSelf left, TSelf right);

    static abstract TSelf operator /(TSelf left, TSelf right);

    static abstract TSelf operator -(TSelf value);

    /// <summary>a b + c.</summary>
    static abstract TSelf MultiplyAdd(TSelf a, TSelf b, TSelf c);

    static abstract TSelf Exp(TSelf value);

    /// <summary>The base library's logarithm; <see cref="LaneFunctions.Log"/> is the faster one.</summary>
    static abstract TSelf Log(TSelf value);

    /// <summary>value = 2^exponent fraction, with the fraction from sqrt(1/2) up to sqrt(2). For positive numbers that are not subnormal.</summary>
    static abstract void Split(TSelf value, out TSelf exponent, out TSelf fraction);

    static abstract TSelf Abs(TSelf value);

    static abstract TSelf Min(TSelf left, TSelf right);

    static abstract TSelf Max(TSelf left, TSelf right);

    /// <summary>Lane by lane: <paramref name="yes"/> where left is below right, else <paramref name="no"/>.</summary>
    static abstract TSelf WhereLess(TSelf left, TSelf right, TSelf yes, TSelf no);

    /// <summary>Whether some lane of left is below that of right.</summary>
    static abstract bool AnyLess(TSelf left, TSelf right);

    /// <summary>Whether all lie from low to high; what is no number does not.</summary>
    static abstract bool AllWithin(TSelf value, TSelf low, TSelf high);

    /// <summary>Writes them to memory.</summary>
    static abstract void Store(TSelf value, ref double target, int index);

    /// <summary>Their sum.</summary>
    static abstract double Sum(TSelf value);
}
