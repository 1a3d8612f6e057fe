namespace Reliability.Engine.Nonparametric;

/// <summary>A sum in two parts (Knuth's two-sum): what is left when most of it is taken away again keeps its digits.</summary>
internal struct CompensatedSum
{
    private double _sum;
    private double _rest;

    /// <summary>The sum.</summary>
    public readonly double Value => _sum + _rest;

    public void Add(double value)
    {
        var next = _sum + value;
        var part = next - _sum;
        _rest += (_sum - (next - part)) + (value - part);
        _sum = next;
    }

    public void Add(in CompensatedSum other)
    {
        Add(other._sum);
        _rest += other._rest;
    }

    /// <summary>This less another.</summary>
    public readonly double Less(in CompensatedSum other) => _sum - other._sum + (_rest - other._rest);
}
