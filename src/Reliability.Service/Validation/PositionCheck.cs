using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Service.Errors;
using Reliability.Service.Hosting;

namespace Reliability.Service.Validation;

/// <summary>Turns histories of positions into those of the engine, and tells of every one that breaks a rule.</summary>
internal static class PositionCheck
{
    /// <summary>Reads histories; meaningless when violations were added.</summary>
    /// <param name="positions">The field <c>positions</c> of the request.</param>
    /// <param name="violations">Gets what is wrong.</param>
    public static IReadOnlyList<PositionHistory> Read(IReadOnlyList<V1.PositionHistory> positions, Violations violations)
    {
        if (positions.Count == 0)
            violations.Add("positions", "must have at least one position");
        if (positions.Count > Limits.MaxObservations || positions.Sum(p => (long)p.ReplacementHours.Count) > Limits.MaxObservations)
        {
            violations.AddLimit(
                "positions",
                string.Create(CultureInfo.InvariantCulture,
                    $"must not be more than {Limits.MaxObservations:N0}, nor have more than {Limits.MaxObservations:N0} replacements in all"));
            return [];
        }

        var histories = new List<PositionHistory>(positions.Count);
        for (var i = 0; i < positions.Count; i++)
        {
            if (IsRight(positions[i], i, violations))
                histories.Add(new PositionHistory(positions[i].StartHours, positions[i].EndHours, positions[i].ReplacementHours));
        }

        return histories;
    }

    private static bool IsRight(V1.PositionHistory position, int index, Violations violations)
    {
        var before = violations.Count;
        var (start, end) = (position.StartHours, position.EndHours);
        if (position.Position.Length > LongestName)
            Refuse("position", "must have at most 200 characters");
        if (!double.IsFinite(start) || start < 0)
            Refuse("start_hours", "must be a finite number, 0 or more");
        if (!double.IsFinite(end) || end <= start)
            Refuse("end_hours", "must be a finite number, more than start_hours");
        for (var k = 0; k < position.ReplacementHours.Count && violations.Count == before; k++)
        {
            var hours = position.ReplacementHours[k];
            if (!(hours > start && hours <= end))
                Refuse($"replacement_hours[{k}]", "must be more than start_hours and at most end_hours");
        }

        return violations.Count == before;

        void Refuse(string field, string rule) => violations.Add($"positions[{index}].{field}", rule);
    }

    private const int LongestName = 200;
}
