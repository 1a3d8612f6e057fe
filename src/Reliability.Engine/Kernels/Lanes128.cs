using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Reliability.Engine.Kernels;

/// <summary>Two doubles at once.</summary>
internal readonly struct Lanes128(Vector128<double> value) : ILanes<Lanes128>
{
    private readonly Vector128<double> _value = value;

    public static int Count => Vector128<double>.Count;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 Load(ref readonly double source, int index) => new(Vector128.LoadUnsafe(in source, (nuint)index));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 All(double value) => new(Vector128.Create(value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 operator +(Lanes128 left, Lanes128 right) => new(left._value + right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 operator -(Lanes128 left, Lanes128 right) => new(left._value - right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 operator *(Lanes128 left, Lanes128 right) => new(left._value * right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 operator /(Lanes128 left, Lanes128 right) => new(left._value / right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 operator -(Lanes128 value) => new(-value._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 MultiplyAdd(Lanes128 a, Lanes128 b, Lanes128 c) =>
        new(Vector128.FusedMultiplyAdd(a._value, b._value, c._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 Exp(Lanes128 value) => new(Vector128.Exp(value._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 Log(Lanes128 value) => new(Vector128.Log(value._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Split(Lanes128 value, out Lanes128 exponent, out Lanes128 fraction)
    {
        var bits = value._value.AsInt64();
        var biased = (bits + Vector128.Create(DoubleBits.ToExponent)) >>> DoubleBits.FractionLength;
        exponent = new((biased | Vector128.Create(DoubleBits.OfWhole)).AsDouble() - Vector128.Create(DoubleBits.Whole + DoubleBits.Bias));
        fraction = new((bits - ((biased - Vector128.Create(DoubleBits.Bias)) << DoubleBits.FractionLength)).AsDouble());
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 Abs(Lanes128 value) => new(Vector128.Abs(value._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 Min(Lanes128 left, Lanes128 right) => new(Vector128.MinNative(left._value, right._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 Max(Lanes128 left, Lanes128 right) => new(Vector128.MaxNative(left._value, right._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes128 WhereLess(Lanes128 left, Lanes128 right, Lanes128 yes, Lanes128 no) =>
        new(Vector128.ConditionalSelect(Vector128.LessThan(left._value, right._value), yes._value, no._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool AnyLess(Lanes128 left, Lanes128 right) => Vector128.LessThanAny(left._value, right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool AllWithin(Lanes128 value, Lanes128 low, Lanes128 high) =>
        Vector128.GreaterThanOrEqualAll(value._value, low._value) && Vector128.LessThanOrEqualAll(value._value, high._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(Lanes128 value, ref double target, int index) => value._value.StoreUnsafe(ref target, (nuint)index);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double Sum(Lanes128 value) => Vector128.Sum(value._value);
}
