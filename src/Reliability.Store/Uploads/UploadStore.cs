using System.Globalization;
using Npgsql;
using NpgsqlTypes;
using Reliability.Store.Paging;

namespace Reliability.Store.Uploads;

/// <summary>
/// What became of uploaded files, and their rejected rows. These rows are their poster's own data and may hold notes and
/// ids of people: they are written nowhere else, and go with their upload. The caller's clock says when that is.
/// </summary>
public sealed class UploadStore
{
    private const string RowList = "rejected rows", UploadList = "uploads";

    private readonly string _organisation;
    private readonly Database _database;
    private readonly string _schema;

    internal UploadStore(string organisation, Database database) =>
        (_organisation, _database, _schema) = (organisation, database, database.Schema);

    /// <summary>Writes down an upload that begins.</summary>
    /// <param name="upload">Its id.</param>
    /// <param name="expireTime">When it goes, UTC.</param>
    /// <param name="summary">What is said of it.</param>
    /// <param name="cancellation">Ends the writing.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task BeginAsync(Guid upload, DateTimeOffset expireTime, ReadOnlyMemory<byte> summary, CancellationToken cancellation) =>
        ExecuteAsync(
            cancellation,
            ($"insert into {_schema}.upload (organisation, upload, expire_time, summary) values ($1, $2, $3, $4)",
                [Organisation, Id(upload), Time(expireTime), Bytes(summary)]));

    /// <summary>Writes down what has become of an upload since. One that was deleted meanwhile stays so.</summary>
    /// <param name="upload">Its id.</param>
    /// <param name="summary">What became of it.</param>
    /// <param name="cancellation">Ends the writing.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task UpdateAsync(Guid upload, ReadOnlyMemory<byte> summary, CancellationToken cancellation) =>
        ExecuteAsync(
            cancellation,
            ($"update {_schema}.upload set summary = $3 where organisation = $1 and upload = $2",
                [Organisation, Id(upload), Bytes(summary)]));

    /// <summary>Writes down rejected rows; those of an upload that was deleted meanwhile are dropped.</summary>
    /// <param name="upload">The upload.</param>
    /// <param name="first">Number of the first of them among the rejected rows of the upload, from 0.</param>
    /// <param name="rows">The rows, in their caller's own form.</param>
    /// <param name="cancellation">Ends the writing.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task AddRejectedAsync(Guid upload, int first, IReadOnlyList<byte[]> rows, CancellationToken cancellation) =>
        ExecuteAsync(
            cancellation,
            ($"""
            with there as (select organisation, upload from {_schema}.upload where organisation = $1 and upload = $2 for share)
            insert into {_schema}.rejected_row (organisation, upload, number, body)
            select organisation, upload, $3 + ordinal - 1, body
            from there, unnest($4) with ordinality as rejected (body, ordinal)
            """,
                [
                    Organisation, Id(upload), new NpgsqlParameter<int> { TypedValue = first },
                    new NpgsqlParameter<byte[][]> { TypedValue = [.. rows], NpgsqlDbType = NpgsqlDbType.Array | NpgsqlDbType.Bytea },
                ]));

    /// <summary>An upload; null when there is none of that id, or no longer.</summary>
    /// <param name="upload">Its id.</param>
    /// <param name="now">The present, UTC.</param>
    /// <param name="cancellation">Ends the reading.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<StoredUpload?> GetAsync(Guid upload, DateTimeOffset now, CancellationToken cancellation)
    {
        var found = await _database.ReadAsync(
            $"select summary from {_schema}.upload where organisation = $1 and upload = $2 and expire_time >= $3",
            [Organisation, Id(upload), Time(now)], reader => new StoredUpload(reader.GetFieldValue<byte[]>(0)), cancellation);
        return found.Count > 0 ? found[0] : null;
    }

    /// <summary>A page of uploads, the last to go first.</summary>
    /// <param name="now">The present, UTC.</param>
    /// <param name="size">At most so many.</param>
    /// <param name="after">Where the page begins; null for the first.</param>
    /// <param name="cancellation">Ends the reading.</param>
    /// <exception cref="PageTokenException">The place is none of this list.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Page<StoredUpload>> ListAsync(DateTimeOffset now, int size, PageToken? after, CancellationToken cancellation)
    {
        var key = after?.KeyIn(UploadList, 2);
        var rows = await _database.ReadAsync(
            $"""
            select upload, expire_time, summary from {_schema}.upload
            where organisation = $1 and expire_time >= $2 and ($3 is null or (expire_time, upload) < ($3, $4))
            order by expire_time desc, upload desc limit $5
            """,
            [
                Organisation, Time(now),
                new NpgsqlParameter { Value = key is null ? DBNull.Value : PageToken.Instant(key[0]), NpgsqlDbType = NpgsqlDbType.TimestampTz },
                new NpgsqlParameter { Value = key is null ? DBNull.Value : PageToken.Guid(key[1]), NpgsqlDbType = NpgsqlDbType.Uuid },
                new NpgsqlParameter<int> { TypedValue = size + 1 },
            ],
            reader => (Id: reader.GetGuid(0), Expires: reader.GetFieldValue<DateTimeOffset>(1), Upload: new StoredUpload(reader.GetFieldValue<byte[]>(2))),
            cancellation);
        return new Page<StoredUpload>(
            [.. rows.Take(size).Select(row => row.Upload)],
            rows.Count > size ? PageToken.After(UploadList, PageToken.Text(rows[size - 1].Expires), rows[size - 1].Id.ToString()) : null);
    }

    /// <summary>A page of rejected rows, in the order of the file.</summary>
    /// <param name="upload">The upload.</param>
    /// <param name="size">At most so many.</param>
    /// <param name="after">Where the page begins; null for the first.</param>
    /// <param name="cancellation">Ends the reading.</param>
    /// <exception cref="PageTokenException">The place is none of this list.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Page<byte[]>> ListRejectedAsync(Guid upload, int size, PageToken? after, CancellationToken cancellation)
    {
        var last = after is null ? -1 : PageToken.Number(after.KeyIn(RowList, 1)[0]);
        var rows = await _database.ReadAsync(
            $"""
            select number, body from {_schema}.rejected_row
            where organisation = $1 and upload = $2 and number > $3 order by number limit $4
            """,
            [
                Organisation, Id(upload), new NpgsqlParameter<int> { TypedValue = last },
                new NpgsqlParameter<int> { TypedValue = size + 1 },
            ],
            reader => (Number: reader.GetInt32(0), Body: reader.GetFieldValue<byte[]>(1)), cancellation);
        PageToken? next = rows.Count > size
            ? PageToken.After(RowList, rows[size - 1].Number.ToString(CultureInfo.InvariantCulture))
            : null;
        return new Page<byte[]>([.. rows.Take(size).Select(row => row.Body)], next);
    }

    /// <summary>Deletes an upload with its rejected rows. What it recorded stays.</summary>
    /// <param name="upload">The upload.</param>
    /// <param name="now">The present, UTC.</param>
    /// <param name="cancellation">Ends the deletion.</param>
    /// <returns>Whether there was one.</returns>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<bool> DeleteAsync(Guid upload, DateTimeOffset now, CancellationToken cancellation)
    {
        var there = await GetAsync(upload, now, cancellation) is not null;
        // The upload first: rows that are just being written hold it, and are seen by the second statement.
        await ExecuteAsync(
            cancellation,
            ($"delete from {_schema}.upload where organisation = $1 and upload = $2", [Organisation, Id(upload)]),
            ($"delete from {_schema}.rejected_row where organisation = $1 and upload = $2", [Organisation, Id(upload)]));
        return there;
    }

    /// <summary>Deletes the uploads of all organisations whose time is over, with their rejected rows.</summary>
    /// <param name="now">The present, UTC.</param>
    /// <param name="cancellation">Ends the deletion.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task DeleteExpiredAsync(DateTimeOffset now, CancellationToken cancellation) =>
        ExecuteAsync(
            cancellation,
            ($"delete from {_schema}.upload where expire_time < $1", [Time(now)]),
            ($"""
            delete from {_schema}.rejected_row as rejected where not exists (
              select from {_schema}.upload as kept
              where kept.organisation = rejected.organisation and kept.upload = rejected.upload)
            """, []));

    private NpgsqlParameter<string> Organisation => new() { TypedValue = _organisation };

    private static NpgsqlParameter<Guid> Id(Guid upload) => new() { TypedValue = upload };

    private static NpgsqlParameter<DateTimeOffset> Time(DateTimeOffset time) => new() { TypedValue = time.ToUniversalTime() };

    private static NpgsqlParameter<ReadOnlyMemory<byte>> Bytes(ReadOnlyMemory<byte> bytes) =>
        new() { TypedValue = bytes, NpgsqlDbType = NpgsqlDbType.Bytea };

    /// <summary>Runs statements in one transaction, each of which sees what was there when it began.</summary>
    private Task<int> ExecuteAsync(CancellationToken cancellation, params (string Sql, NpgsqlParameter[] Parameters)[] statements) =>
        Failure.Translated(async () =>
        {
            await using var batch = _database.Source.CreateBatch();
            foreach (var (sql, parameters) in statements)
            {
                var command = batch.CreateBatchCommand();
                command.CommandText = sql;
                command.Parameters.AddRange(parameters);
                batch.BatchCommands.Add(command);
            }

            return await batch.ExecuteNonQueryAsync(cancellation);
        });
}
