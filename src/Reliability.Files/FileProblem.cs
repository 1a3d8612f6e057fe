namespace Reliability.Files;

/// <summary>One thing that is wrong in a file, in a row or in a mapping.</summary>
/// <param name="Field">
/// Where: a column of a sheet (<c>reading_hours</c>), a field of an event (<c>run_hours_read.readings[0].hours</c>), a place
/// in a mapping (<c>rows[2].events[0].removal_reason</c>), a line of a file. Empty for a row or file as a whole.
/// </param>
/// <param name="Rule">The rule it breaks, in words. What stood there is quoted no longer than a few words.</param>
public sealed record FileProblem(string Field, string Rule)
{
    /// <inheritdoc />
    public override string ToString() => Field.Length == 0 ? Rule : $"{Field}: {Rule}";
}
