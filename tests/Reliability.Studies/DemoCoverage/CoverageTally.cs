namespace Reliability.Studies.DemoCoverage;

/// <summary>How often the bounds of one quantity held the truth.</summary>
internal sealed class CoverageTally
{
    /// <summary>Networks in which there were bounds.</summary>
    public int Count { get; private set; }

    /// <summary>Of these, networks in which they held the truth.</summary>
    public int Held { get; private set; }

    /// <summary>Of these, networks in which the truth lay below them.</summary>
    public int TruthBelow { get; private set; }

    /// <summary>Of these, networks in which the truth lay above them.</summary>
    public int TruthAbove => Count - Held - TruthBelow;

    /// <summary>Networks in which there were no bounds.</summary>
    public int WithoutBounds { get; private set; }

    /// <summary>The share of all networks whose bounds held the truth; no bounds count as a miss.</summary>
    public double Share => (double)Held / (Count + WithoutBounds);

    /// <summary>The standard error of that share.</summary>
    public double StandardError => Math.Sqrt(Share * (1 - Share) / (Count + WithoutBounds));

    /// <summary>Takes in one network.</summary>
    public void Add(double? lower, double? upper, double truth)
    {
        if (lower is null && upper is null)
        {
            WithoutBounds++;
            return;
        }
        Count++;
        if (truth < lower)
            TruthBelow++;
        else if (!(truth > upper))
            Held++;
    }
}
