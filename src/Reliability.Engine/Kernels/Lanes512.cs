using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Reliability.Engine.Kernels;

/// <summary>Eight doubles at once.</summary>
internal readonly struct Lanes512(Vector512<double> value) : ILanes<Lanes512>
{
    private readonly Vector512<double> _value = value;

    public static int Count => Vector512<double>.Count;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 Load(ref readonly double source, int index) => new(Vector512.LoadUnsafe(in source, (nuint)index));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 All(double value) => new(Vector512.Create(value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 operator +(Lanes512 left, Lanes512 right) => new(left._value + right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 operator -(Lanes512 left, Lanes512 right) => new(left._value - right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 operator *(Lanes512 left, Lanes512 right) => new(left._value * right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 operator /(Lanes512 left, Lanes512 right) => new(left._value / right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 operator -(Lanes512 value) => new(-value._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 MultiplyAdd(Lanes512 a, Lanes512 b, Lanes512 c) =>
        new(Vector512.FusedMultiplyAdd(a._value, b._value, c._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 Exp(Lanes512 value) => new(Vector512.Exp(value._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 Log(Lanes512 value) => new(Vector512.Log(value._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Split(Lanes512 value, out Lanes512 exponent, out Lanes512 fraction)
    {
        var bits = value._value.AsInt64();
        var biased = (bits + Vector512.Create(DoubleBits.ToExponent)) >>> DoubleBits.FractionLength;
        exponent = new((biased | Vector512.Create(DoubleBits.OfWhole)).AsDouble() - Vector512.Create(DoubleBits.Whole + DoubleBits.Bias));
        fraction = new((bits - ((biased - Vector512.Create(DoubleBits.Bias)) << DoubleBits.FractionLength)).AsDouble());
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 Abs(Lanes512 value) => new(Vector512.Abs(value._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 Min(Lanes512 left, Lanes512 right) => new(Vector512.MinNative(left._value, right._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 Max(Lanes512 left, Lanes512 right) => new(Vector512.MaxNative(left._value, right._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes512 WhereLess(Lanes512 left, Lanes512 right, Lanes512 yes, Lanes512 no) =>
        new(Vector512.ConditionalSelect(Vector512.LessThan(left._value, right._value), yes._value, no._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool AnyLess(Lanes512 left, Lanes512 right) => Vector512.LessThanAny(left._value, right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool AllWithin(Lanes512 value, Lanes512 low, Lanes512 high) =>
        Vector512.GreaterThanOrEqualAll(value._value, low._value) && Vector512.LessThanOrEqualAll(value._value, high._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(Lanes512 value, ref double target, int index) => value._value.StoreUnsafe(ref target, (nuint)index);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double Sum(Lanes512 value) => Vector512.Sum(value._value);
}
