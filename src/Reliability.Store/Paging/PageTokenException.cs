namespace Reliability.Store.Paging;

/// <summary>A page token is of another list, or holds what no token of this list holds. Somebody made it by hand.</summary>
public sealed class PageTokenException() : Exception("The page token is none of this list.");
