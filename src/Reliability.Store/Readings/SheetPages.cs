namespace Reliability.Store.Readings;

/// <summary>
/// Pages of stored events that may be sheets: bounded by number and by about how many bytes of sheets they hold, so that a page fits
/// into memory whatever was posted. A sheet may have tens of megabytes.
/// </summary>
internal static class SheetPages
{
    /// <summary>A page takes no further events once it holds so many bytes of sheets.</summary>
    public const int Bytes = 32 * 1024 * 1024;

    /// <summary>
    /// The query for a page, in order of position: at least one event where there is any. Behind the columns comes how many
    /// there were to choose from: where the page is shorter, or they are as many as the page may have, more may follow.
    /// </summary>
    /// <param name="columns">The columns, among them <c>seq_id</c> and <c>bdata</c>.</param>
    /// <param name="source">Table and condition.</param>
    /// <param name="count">At most this many events.</param>
    /// <param name="bytes">The bound in bytes.</param>
    public static string Query(string columns, string source, int count, int bytes = Bytes) =>
        $"""
        select {columns}, offered from (
          select *, count(*) over () as offered,
            sum(octet_length(bdata)) over (order by seq_id rows between unbounded preceding and 1 preceding) as bytes_before
          from (select {columns} from {source} order by seq_id limit {count}) as candidate) as weighed
        where coalesce(bytes_before, 0) < {bytes} order by seq_id
        """;
}
