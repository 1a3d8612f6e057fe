namespace Reliability.Store.Paging;

/// <summary>A page of a list.</summary>
/// <param name="Items">The items, in order.</param>
/// <param name="Next">Where the next page begins; null on the last page.</param>
public sealed record Page<T>(IReadOnlyList<T> Items, PageToken? Next);
