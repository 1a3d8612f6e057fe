using System.Globalization;
using Npgsql;
using NpgsqlTypes;
using Reliability.Store.Paging;

namespace Reliability.Store.Uploads;

/// <summary>
/// What became of uploaded files, and their rejected rows. These rows are their poster's own data and may hold notes and
/// ids of people: they are written nowhere else, and go with their upload.
/// </summary>
public sealed class UploadStore
{
    private const string List = "rejected rows";

    private readonly string _organisation;
    private readonly Database _database;
    private readonly string _schema;

    internal UploadStore(string organisation, Database database) =>
        (_organisation, _database, _schema) = (organisation, database, database.Schema);

    /// <summary>Writes down an upload, or what has become of it since. Uploads whose time is over are deleted meanwhile.</summary>
    /// <param name="upload">Its id.</param>
    /// <param name="expireTime">When it goes, UTC.</param>
    /// <param name="summary">What became of it so far.</param>
    /// <param name="cancellation">Ends the writing.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task SaveAsync(Guid upload, DateTimeOffset expireTime, ReadOnlyMemory<byte> summary, CancellationToken cancellation) =>
        ExecuteAsync(
            $"""
            with expired as (delete from {_schema}.upload where expire_time < now() and upload <> $2 returning organisation, upload),
            rows_gone as (
                delete from {_schema}.rejected_row where (organisation, upload) in (select organisation, upload from expired))
            insert into {_schema}.upload (organisation, upload, expire_time, summary) values ($1, $2, $3, $4)
            on conflict (organisation, upload) do update set summary = excluded.summary
            """,
            [
                Organisation, Id(upload), new NpgsqlParameter<DateTimeOffset> { TypedValue = expireTime.ToUniversalTime() },
                new NpgsqlParameter<ReadOnlyMemory<byte>> { TypedValue = summary, NpgsqlDbType = NpgsqlDbType.Bytea },
            ],
            cancellation);

    /// <summary>Writes down rejected rows.</summary>
    /// <param name="upload">The upload.</param>
    /// <param name="first">Number of the first of them among the rejected rows of the upload, from 0.</param>
    /// <param name="rows">The rows, in their caller's own form.</param>
    /// <param name="cancellation">Ends the writing.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task AddRejectedAsync(Guid upload, int first, IReadOnlyList<byte[]> rows, CancellationToken cancellation) =>
        ExecuteAsync(
            $"""
            insert into {_schema}.rejected_row (organisation, upload, number, body)
            select $1, $2, $3 + ordinal - 1, body from unnest($4) with ordinality as rejected (body, ordinal)
            """,
            [
                Organisation, Id(upload), new NpgsqlParameter<int> { TypedValue = first },
                new NpgsqlParameter<byte[][]> { TypedValue = [.. rows], NpgsqlDbType = NpgsqlDbType.Array | NpgsqlDbType.Bytea },
            ],
            cancellation);

    /// <summary>An upload; null when there is none of that id, or no longer.</summary>
    /// <param name="upload">Its id.</param>
    /// <param name="cancellation">Ends the reading.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<StoredUpload?> GetAsync(Guid upload, CancellationToken cancellation)
    {
        var found = await _database.ReadAsync(
            $"select summary from {_schema}.upload where organisation = $1 and upload = $2 and expire_time >= now()",
            [Organisation, Id(upload)], reader => new StoredUpload(reader.GetFieldValue<byte[]>(0)), cancellation);
        return found.Count > 0 ? found[0] : null;
    }

    /// <summary>A page of rejected rows, in the order of the file.</summary>
    /// <param name="upload">The upload.</param>
    /// <param name="size">At most so many.</param>
    /// <param name="after">Where the page begins; null for the first.</param>
    /// <param name="cancellation">Ends the reading.</param>
    /// <exception cref="ArgumentException">The place belongs to another list.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Page<byte[]>> ListRejectedAsync(Guid upload, int size, PageToken? after, CancellationToken cancellation)
    {
        var last = after is null ? -1 : int.Parse(after.KeyIn(List, 1)[0], CultureInfo.InvariantCulture);
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
            ? PageToken.After(List, rows[size - 1].Number.ToString(CultureInfo.InvariantCulture))
            : null;
        return new Page<byte[]>([.. rows.Take(size).Select(row => row.Body)], next);
    }

    /// <summary>Deletes an upload with its rejected rows. What it recorded stays.</summary>
    /// <param name="upload">The upload.</param>
    /// <param name="cancellation">Ends the deletion.</param>
    /// <returns>Whether there was one.</returns>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<bool> DeleteAsync(Guid upload, CancellationToken cancellation)
    {
        var deleted = await _database.ReadAsync(
            $"""
            with rows_gone as (delete from {_schema}.rejected_row where organisation = $1 and upload = $2)
            delete from {_schema}.upload where organisation = $1 and upload = $2 returning upload
            """,
            [Organisation, Id(upload)], reader => reader.GetGuid(0), cancellation);
        return deleted.Count > 0;
    }

    private NpgsqlParameter<string> Organisation => new() { TypedValue = _organisation };

    private static NpgsqlParameter<Guid> Id(Guid upload) => new() { TypedValue = upload };

    private Task<int> ExecuteAsync(string sql, NpgsqlParameter[] parameters, CancellationToken cancellation) =>
        Failure.Translated(async () =>
        {
            await using var command = _database.Source.CreateCommand(sql);
            command.Parameters.AddRange(parameters);
            return await command.ExecuteNonQueryAsync(cancellation);
        });
}
