namespace Reliability.DemoData.Scenario;

/// <summary>A family of invented modules with its stated truth and the habits of those who look after it.</summary>
internal sealed record Family
{
    /// <summary>The id in the catalogue.</summary>
    public required string ModelId { get; init; }

    /// <summary>The name for people.</summary>
    public required string DisplayName { get; init; }

    /// <summary>The invented maker's part number.</summary>
    public required string PartNumber { get; init; }

    /// <summary>Short prefix of module ids and serial numbers.</summary>
    public required string Prefix { get; init; }

    /// <summary>The host device's model.</summary>
    public required string HostModel { get; init; }

    /// <summary>Recommended maximum of run-hours.</summary>
    public required double RatedHours { get; init; }

    /// <summary>Lives of new modules.</summary>
    public required TrueLife New { get; init; }

    /// <summary>Lives of refurbished modules, whoever refurbished them and however often; none when they are not refurbished.</summary>
    public TrueLife? Refurbished { get; init; }

    /// <summary>The share of removed modules that is sent to be refurbished.</summary>
    public double RefurbishShare { get; init; }

    /// <summary>How they fail; shares add up to 1.</summary>
    public required IReadOnlyList<FailureMode> Modes { get; init; }

    /// <summary>True when the module carries its own hour meter; false when the host's counts.</summary>
    public bool HasOwnMeter { get; init; }

    /// <summary>Days from one round of readings to the next.</summary>
    public required int RoundDays { get; init; }

    /// <summary>Hours of use a day: each position draws its own between these.</summary>
    public required (double Least, double Most) HoursPerDay { get; init; }

    /// <summary>The unit of output; empty when it is not measured.</summary>
    public string OutputUnit { get; init; } = "";

    /// <summary>The output below which a module counts as failed, in that unit.</summary>
    public double OutputThreshold { get; init; }

    /// <summary>Output when new, in that unit: each life draws its own between these.</summary>
    public (double Least, double Most) OutputWhenNew { get; init; }

    /// <summary>Costs in the network's currency: new module, refurbished module, planned replacement, failure.</summary>
    public required (double New, double Refurbished, double Planned, double Failure) Costs { get; init; }

    /// <summary>Warranty of a refurbished module in run-hours.</summary>
    public double RefurbishedWarrantyHours { get; init; }

    /// <summary>Codes of the precautions that go with the module.</summary>
    public required IReadOnlyList<string> CautionCodes { get; init; }

    /// <summary>Whether output is measured.</summary>
    public bool MeasuresOutput => OutputUnit.Length > 0;

    /// <summary>The truth for a condition.</summary>
    public TrueLife TruthFor(int refurbishmentCount) =>
        refurbishmentCount == 0 ? New : Refurbished ?? throw new InvalidOperationException($"{ModelId} is not refurbished.");
}
