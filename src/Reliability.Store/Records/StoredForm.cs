using System.Text.Json;
using System.Text.Json.Serialization.Metadata;

namespace Reliability.Store.Records;

/// <summary>
/// The forms in which events were ever stored, as JSON. The form stands at the end of an event's name in the log, such as
/// <c>registered_v2</c>. Both forms are read into the same classes here and nowhere else; only the last is written.
/// </summary>
internal static class StoredForm
{
    /// <summary>Version 1: times as windows with both ends, and their precision.</summary>
    public static JsonSerializerOptions One => StoreJsonContext.Default.Options;

    /// <summary>Version 2: an instant once, a day as its two ends.</summary>
    public static JsonSerializerOptions Two { get; } = new(StoreJsonContext.Default.Options)
    {
        Converters = { new CompactOccurrence(), new CompactReading() },
    };

    /// <summary>How a class is read and written in a form.</summary>
    public static JsonTypeInfo<T> Of<T>(JsonSerializerOptions form) => (JsonTypeInfo<T>)form.GetTypeInfo(typeof(T));
}
