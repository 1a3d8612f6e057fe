using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Reliability.Engine.Kernels;

/// <summary>Four doubles at once.</summary>
internal readonly struct Lanes256(Vector256<double> value) : ILanes<Lanes256>
{
    private readonly Vector256<double> _value = value;

    public static int Count => Vector256<double>.Count;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 Load(ref readonly double source, int index) => new(Vector256.LoadUnsafe(in source, (nuint)index));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 All(double value) => new(Vector256.Create(value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 operator +(Lanes256 left, Lanes256 right) => new(left._value + right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 operator -(Lanes256 left, Lanes256 right) => new(left._value - right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 operator *(Lanes256 left, Lanes256 right) => new(left._value * right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 operator /(Lanes256 left, Lanes256 right) => new(left._value / right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 operator -(Lanes256 value) => new(-value._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 MultiplyAdd(Lanes256 a, Lanes256 b, Lanes256 c) =>
        new(Vector256.FusedMultiplyAdd(a._value, b._value, c._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 Exp(Lanes256 value) => new(Vector256.Exp(value._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 Log(Lanes256 value) => new(Vector256.Log(value._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Split(Lanes256 value, out Lanes256 exponent, out Lanes256 fraction)
    {
        var bits = value._value.AsInt64();
        var biased = (bits + Vector256.Create(DoubleBits.ToExponent)) >>> DoubleBits.FractionLength;
        exponent = new((biased | Vector256.Create(DoubleBits.OfWhole)).AsDouble() - Vector256.Create(DoubleBits.Whole + DoubleBits.Bias));
        fraction = new((bits - ((biased - Vector256.Create(DoubleBits.Bias)) << DoubleBits.FractionLength)).AsDouble());
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 Abs(Lanes256 value) => new(Vector256.Abs(value._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 Min(Lanes256 left, Lanes256 right) => new(Vector256.MinNative(left._value, right._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 Max(Lanes256 left, Lanes256 right) => new(Vector256.MaxNative(left._value, right._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes256 WhereLess(Lanes256 left, Lanes256 right, Lanes256 yes, Lanes256 no) =>
        new(Vector256.ConditionalSelect(Vector256.LessThan(left._value, right._value), yes._value, no._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool AnyLess(Lanes256 left, Lanes256 right) => Vector256.LessThanAny(left._value, right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool AllWithin(Lanes256 value, Lanes256 low, Lanes256 high) =>
        Vector256.GreaterThanOrEqualAll(value._value, low._value) && Vector256.LessThanOrEqualAll(value._value, high._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(Lanes256 value, ref double target, int index) => value._value.StoreUnsafe(ref target, (nuint)index);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double Sum(Lanes256 value) => Vector256.Sum(value._value);
}
