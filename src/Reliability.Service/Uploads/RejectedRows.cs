using System.Text.RegularExpressions;
using Google.Protobuf;
using Google.Rpc;
using Reliability.Files.EventFiles;
using Reliability.Service.Errors;
using Reliability.Store.Uploads;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Service.Uploads;

/// <summary>
/// Rejected rows of an upload: counted by reason, the first shown, the rest kept. They are their poster's own data and go
/// nowhere else, into no log and no trace.
/// </summary>
internal sealed partial class RejectedRows(UploadStore store, Guid upload)
{
    // A row with more wrong in it is not put right by telling of it all.
    private const int MaxViolations = 20, WrittenTogether = 500;

    // An answer fits into what clients take by default, which is 4 MiB.
    private const int ShownCharacters = 500_000;

    private readonly SortedDictionary<string, long> _counts = new(StringComparer.Ordinal);
    private readonly List<V1.RejectedRow> _shown = [];
    private readonly List<byte[]> _unwritten = [];
    private int _kept, _shownCharacters;

    /// <summary>How many there are, by reason.</summary>
    public IReadOnlyDictionary<string, long> Counts => _counts;

    /// <summary>The first of them.</summary>
    public IReadOnlyList<V1.RejectedRow> Shown => _shown;

    /// <summary>Rejects a row that could not be read. Rows are written down even when their caller has gone.</summary>
    public Task AddAsync(FileRow row)
    {
        var rejected = New(row, ErrorReasons.UnreadableRow);
        rejected.Violations.AddRange(row.Problems.Take(MaxViolations)
            .Select(problem => new V1.RowViolation { Field = problem.Field, Rule = problem.Rule }));
        return AddAsync(rejected);
    }

    /// <summary>Rejects a row of which events were refused.</summary>
    /// <param name="row">The row.</param>
    /// <param name="refusals">Why, each with which of the row's events it is about.</param>
    public Task AddAsync(FileRow row, IReadOnlyList<(int Event, RpcStatus Refusal)> refusals)
    {
        var rejected = New(row, refusals[0].Refusal.GetDetail<ErrorInfo>()?.Reason ?? ErrorReasons.InvalidFields);
        rejected.Violations.AddRange(refusals
            .SelectMany(refused => (refused.Refusal.GetDetail<BadRequest>()?.FieldViolations.ToArray() ?? []).Select(violation => new V1.RowViolation
            {
                // Where the event stood in its batch means nothing to whoever has the file.
                Field = row.FieldName(refused.Event, PlaceInBatch().Replace(violation.Field, string.Empty)),
                Rule = violation.Description,
            }))
            .Take(MaxViolations));
        return AddAsync(rejected);
    }

    /// <summary>Writes down those that are not written yet.</summary>
    public async Task FlushAsync()
    {
        if (_unwritten.Count == 0)
            return;
        await store.AddRejectedAsync(upload, _kept - _unwritten.Count, _unwritten, CancellationToken.None);
        _unwritten.Clear();
    }

    private static V1.RejectedRow New(FileRow row, string reason) => new()
    {
        Line = row.Line,
        Reason = reason,
        Row = row.Original.Length <= UploadLimits.MaxKeptRowLength ? row.Original : row.Original[..UploadLimits.MaxKeptRowLength],
    };

    private async Task AddAsync(V1.RejectedRow rejected)
    {
        _counts[rejected.Reason] = _counts.GetValueOrDefault(rejected.Reason) + 1;
        _shownCharacters += rejected.Row.Length;
        if (_shown.Count < UploadLimits.ShownRows && _shownCharacters <= ShownCharacters)
            _shown.Add(rejected);
        if (_kept == UploadLimits.MaxKeptRows)
            return;
        _kept++;
        _unwritten.Add(rejected.ToByteArray());
        if (_unwritten.Count == WrittenTogether)
            await FlushAsync();
    }

    [GeneratedRegex(@"^events\[[0-9]+\]\.?", RegexOptions.CultureInvariant)]
    private static partial Regex PlaceInBatch();
}
