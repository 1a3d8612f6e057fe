using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// Gathers the notes of single numbers into warnings of the whole answer, one for each thing said, naming the quantities
/// it is said of.
/// </summary>
internal sealed class NoteCollector(IReadOnlyList<EngineWarning> ofTheFit)
{
    private readonly List<EngineWarning> _warnings = [.. ofTheFit];
    private readonly List<(EngineWarning Note, List<string> Quantities)> _notes = [];

    public BoundedEstimate Take(string quantity, BoundedEstimate estimate)
    {
        foreach (var note in estimate.Notes)
        {
            if (_warnings.Contains(note))
                continue;
            var known = _notes.Find(n => n.Note == note);
            if (known.Quantities is null)
                _notes.Add((note, [quantity]));
            else if (!known.Quantities.Contains(quantity))
                known.Quantities.Add(quantity);
        }

        return estimate;
    }

    public void Warn(string code, string text)
    {
        var warning = new EngineWarning(code, text);
        if (!_warnings.Contains(warning))
            _warnings.Add(warning);
    }

    public IReadOnlyList<EngineWarning> Collected() =>
    [
        .. _warnings,
        .. _notes.Select(n => new EngineWarning(n.Note.Code, $"{string.Join(", ", n.Quantities)}: {n.Note.Text}")),
    ];
}
