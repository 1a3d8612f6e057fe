namespace Reliability.Cli.Connections;

/// <summary>Reads pages until enough items are there or no page is left.</summary>
internal static class PageReader
{
    /// <summary>Reads pages.</summary>
    /// <param name="limit">How many items are wanted.</param>
    /// <param name="largestPage">The largest page to ask for.</param>
    /// <param name="read">Reads a page of at most this size from a token; answers how many items came and the next token.</param>
    /// <returns>Whether more items are left.</returns>
    public static async Task<bool> ReadAsync(int limit, int largestPage, Func<int, string, Task<(int Count, string NextToken)>> read)
    {
        string token = "";
        int missing = limit;
        do
        {
            (int count, string next) = await read(Math.Min(missing, largestPage), token).ConfigureAwait(false);
            missing -= count;
            token = next;
        }
        while (token.Length > 0 && missing > 0);
        return token.Length > 0;
    }
}
