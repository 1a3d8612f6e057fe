using System.Globalization;
using Google.Protobuf;
using Google.Protobuf.Collections;
using Google.Protobuf.WellKnownTypes;
using Google.Rpc;
using Grpc.Core;
using Reliability.Files;
using Reliability.Files.EventFiles;
using Reliability.History.Lives;
using Reliability.Service.Errors;
using Reliability.Service.Events;
using Reliability.Store;
using Reliability.Store.Posting;
using Reliability.Store.Revisions;

namespace Reliability.Service.Uploads;

/// <summary>
/// One upload: rows are read as they come, gathered into posts and recorded by the group commit that all callers share. A
/// few posts are under way at a time; nothing else of the file is held, whatever its size.
/// </summary>
internal sealed class EventUpload
{
    // Rows are held until they are answered, so a post is bounded by what they weigh too.
    private const int PostEvents = 500, PostCharacters = 1 << 20, PostsUnderWay = 4;

    private readonly EventPosting _posting;
    private readonly OrganisationStore _store;
    private readonly TimeProvider _time;
    private readonly CheckTogether? _check;
    private readonly RejectedRows _rejected;
    private readonly Guid _id = Guid.NewGuid();
    private readonly V1.Upload _upload;
    private readonly SortedDictionary<UnresolvedReason, long> _unresolved = [];
    private readonly Queue<(List<FileRow> Rows, EventBatch Batch, Task<IReadOnlyList<RecordOutcome>> Outcomes)> _underWay = [];
    private List<FileRow> _rows = [];
    private RepeatedField<V1.ModuleEvent> _events = [];
    private Revision? _last;
    private long _checked, _characters, _lastLine;
    private bool _unsettled;

    public EventUpload(EventPosting posting, OrganisationStore store, TimeProvider time, V1.EventFileHeader header)
    {
        (_posting, _store, _time) = (posting, store, time);
        _check = header.ValidateOnly ? store.Events.BeginCheck() : null;
        _rejected = new(store.Uploads, _id);
        var now = time.GetUtcNow();
        _upload = new()
        {
            Name = ResourceNames.Upload(_id),
            FileName = header.FileName,
            State = V1.UploadState.Incomplete,
            ValidateOnly = header.ValidateOnly,
            CreateTime = Timestamp.FromDateTimeOffset(now),
            ExpireTime = Timestamp.FromDateTimeOffset(now + UploadLimits.Kept),
        };
    }

    /// <summary>Records the file, or checks it.</summary>
    /// <exception cref="RpcException">The file came to a point from which it cannot be read on. What was whole before stays.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer. What was recorded before stays.</exception>
    public async Task<V1.UploadEventsResponse> RunAsync(IEventFile file, CancellationToken cancellation)
    {
        RejectedRowsFile.Note(_upload, file.Refusals);
        await _store.Uploads.BeginAsync(_id, _upload.ExpireTime.ToDateTimeOffset(), _upload.ToByteArray(), cancellation);
        try
        {
            // Only reading ends with the caller: what has come is recorded and written down all the same.
            await foreach (var row in file.RowsAsync(cancellation))
                await TakeAsync(row);
            await PostAsync();
            await SettleAllAsync();
        }
        catch (Exception broken)
        {
            await BreakOffAsync(file, broken);
            switch (broken)
            {
                case FileUnusableException unusable: throw Named(UploadReading.Refused(unusable));
                case RpcException refusal: throw Named(refusal);
                default: throw;
            }
        }

        _upload.State = V1.UploadState.Complete;
        _upload.SettledLine = _lastLine;
        await TellAsync(file);
        var response = new V1.UploadEventsResponse { Upload = _upload };
        response.RejectedRows.AddRange(_rejected.Shown);
        return response;
    }

    /// <summary>The refusal with how far the upload came, and its name, under which that is kept.</summary>
    private RpcException Named(RpcException refusal)
    {
        if (refusal.GetRpcStatus() is not { } status)
            return refusal;
        status.Message = string.Create(
            CultureInfo.InvariantCulture,
            $"{status.Message.TrimEnd('.')}. The upload is INCOMPLETE; all up to line {_upload.SettledLine} is settled.");
        status.Details.Add(Any.Pack(new ResourceInfo { ResourceType = ResourceNames.UploadType, ResourceName = _upload.Name }));
        return status.ToRpcException();
    }

    /// <summary>
    /// Records the rows that came whole before the break, and writes down how far it came, as far as that can be done.
    /// </summary>
    private async Task BreakOffAsync(IEventFile file, Exception broken)
    {
        if (broken is not StoreUnavailableException && _check is null)
            await TryAsync(PostAsync);
        while (_underWay.Count > 0)
            await TryAsync(SettleAsync);
        // Where that fails too it stays as it was written down last; posting the file again tells what became of it.
        await TryAsync(() => TellAsync(file));
    }

    /// <summary>Does a part of the work after a break: what hinders it is told by the break already.</summary>
    private static async Task TryAsync(Func<Task> work)
    {
        try
        {
            await work();
        }
        catch (Exception exception) when (exception is StoreUnavailableException or RpcException)
        {
            // The caller is told of the break.
        }
    }

    private async Task TakeAsync(FileRow row)
    {
        _upload.RowCount++;
        _lastLine = row.Line;
        if (row.Problems.Count > 0)
            await _rejected.AddAsync(row);
        if (row.Events.Count == 0)
        {
            if (_rows.Count == 0 && _underWay.Count == 0 && !_unsettled)
                _upload.SettledLine = row.Line;
            return;
        }

        _upload.FutureCount += row.Events.Count(said => FutureTime.Is(said, _time.GetUtcNow()));
        _rows.Add(row);
        _events.AddRange(row.Events);
        _characters += row.Original.Length;
        if (_events.Count >= PostEvents || _characters >= PostCharacters)
            await PostAsync();
    }

    private async Task PostAsync()
    {
        if (_rows.Count == 0)
            return;
        var batch = _posting.NewBatch();
        batch.Add(_events);
        _underWay.Enqueue((_rows, batch, OutcomesAsync(batch)));
        (_rows, _events, _characters) = ([], [], 0);
        // Parts are checked one after the other: each counts as arrived for the next.
        if (_underWay.Count >= PostsUnderWay || _check is not null)
            await SettleAsync();
    }

    private async Task SettleAllAsync()
    {
        while (_underWay.Count > 0)
            await SettleAsync();
    }

    private async Task<IReadOnlyList<RecordOutcome>> OutcomesAsync(EventBatch batch)
    {
        if (_check is null)
            return await _posting.RecordAsync(batch, CancellationToken.None);
        _checked += batch.Count;
        if (_checked > UploadLimits.MaxCheckedEvents)
        {
            var violations = new Violations();
            violations.AddLimit("file", $"must not have more than {UploadLimits.MaxCheckedEvents:N0} events to be checked alone; check it in parts");
            violations.ThrowIfAny();
        }

        return await _check.CheckAsync(batch.Right, CancellationToken.None);
    }

    /// <summary>Counts what became of the oldest post under way.</summary>
    private async Task SettleAsync()
    {
        var (rows, batch, underWay) = _underWay.Dequeue();
        // Unless it all goes well, nothing is said of this line and what is behind it.
        var before = _unsettled;
        _unsettled = true;
        var outcomes = await underWay;
        var results = new RepeatedField<V1.RecordEventResult>();
        batch.Answer(outcomes, results);
        foreach (var receipt in outcomes.OfType<RecordOutcome.Receipt>())
            Count(receipt);
        var next = 0;
        foreach (var row in rows)
        {
            var refusals = new List<(int Event, Google.Rpc.Status Refusal)>();
            for (var i = 0; i < row.Events.Count; i++)
            {
                if (results[next + i].Error is { } refusal)
                    refusals.Add((i, refusal));
            }

            next += row.Events.Count;
            if (refusals.Count > 0)
                await _rejected.AddAsync(row, refusals);
        }

        _unsettled = before;
        if (!_unsettled)
            _upload.SettledLine = rows[^1].Line;
    }

    private void Count(RecordOutcome.Receipt receipt)
    {
        if (receipt.Duplicate)
            _upload.DuplicateCount++;
        else
            _upload.RecordedCount++;
        if (receipt.UnresolvedReason is { } reason)
            _unresolved[reason] = _unresolved.GetValueOrDefault(reason) + 1;
        if (_last is null || receipt.Revision.Position > _last.Value.Position)
            _last = receipt.Revision;
    }

    /// <summary>Puts the counts into the upload and writes it down.</summary>
    private async Task TellAsync(IEventFile file)
    {
        _upload.Revision = _check is null && _last is { } last ? last.ToString() : string.Empty;
        _upload.UnresolvedEvents.AddRange((_check?.Unresolved ?? _unresolved)
            .Select(pair => new V1.ReasonCount { Reason = Words.Code(pair.Key), Count = pair.Value }));
        _upload.RejectedRows.AddRange(_rejected.Counts
            .Select(pair => new V1.ReasonCount { Reason = pair.Key, Count = pair.Value }));
        _upload.RejectedRowCount = _rejected.Counts.Values.Sum();
        if (file.Mapping is { } mapping)
        {
            _upload.IgnoredRows.AddRange(mapping.Ignored
                .Select(pair => new V1.IgnoredRows { Reason = pair.Key, Count = pair.Value }));
            _upload.UnknownCodes.AddRange(mapping.UnknownCodes.Take(UploadLimits.ShownCodes).Select(pair => new V1.UnknownMappingCode
            {
                Column = pair.Key.Column,
                Table = pair.Key.Table,
                Code = pair.Key.Code,
                Count = pair.Value,
            }));
        }

        _upload.Warnings.AddRange(UploadWarnings.Of(_upload.FutureCount, _upload.RejectedRowCount));
        await _rejected.FlushAsync();
        await _store.Uploads.UpdateAsync(_id, _upload.ToByteArray(), CancellationToken.None);
    }
}
