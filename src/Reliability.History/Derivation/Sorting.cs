namespace Reliability.History.Derivation;

/// <summary>Sorting of what is mostly sorted already: readings come in order of time.</summary>
internal static class Sorting
{
    /// <summary>The items in order, those that compare as equal as they stood; the list itself when it is in order.</summary>
    public static List<T> Sorted<T>(List<T> items, Comparison<T> compare)
    {
        for (var i = 1; i < items.Count; i++)
        {
            if (compare(items[i - 1], items[i]) > 0)
                return [.. items.Order(Comparer<T>.Create(compare))];
        }

        return items;
    }
}
