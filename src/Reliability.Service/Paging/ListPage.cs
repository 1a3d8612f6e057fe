using System.Globalization;
using Google.Protobuf;
using Reliability.Service.Hosting;

namespace Reliability.Service.Paging;

/// <summary>Pages of lists.</summary>
internal static class ListPage
{
    /// <summary>How many a page has: the default when 0, never more than the most. Negative sizes are refused before.</summary>
    public static int Size(int asked, int most = Limits.MaxPageSize) =>
        asked == 0 ? Limits.DefaultPageSize : Math.Min(asked, most);

    /// <summary>A page of a short list that is held in memory; all of it when no size is asked for.</summary>
    public static (IReadOnlyList<T> Items, string NextToken) Of<T>(
        IReadOnlyList<T> all, IMessage request, int pageSize, string pageToken)
    {
        var start = 0;
        if (BoundToken.Read(request, pageToken) is { } place
            && (!int.TryParse(place, NumberStyles.None, CultureInfo.InvariantCulture, out start) || start > all.Count))
        {
            throw BoundToken.Malformed();
        }

        var size = pageSize == 0 ? all.Count : pageSize;
        IReadOnlyList<T> items = [.. all.Skip(start).Take(size)];
        var next = start + items.Count;
        return (items, next < all.Count
            ? BoundToken.Make(request, next.ToString(CultureInfo.InvariantCulture)) : string.Empty);
    }
}
