using System.Globalization;
using System.Text.RegularExpressions;
using Google.Protobuf;
using Google.Protobuf.Reflection;

namespace Reliability.Files.Json;

/// <summary>The rules by which text (a JSON string, or a query value) stands for a protobuf value.</summary>
public static partial class ScalarText
{
    /// <summary>The rule the text breaks for a field of this kind, or null when it is right.</summary>
    public static string? Broken(FieldDescriptor field, string text) => field.FieldType switch
    {
        FieldType.String => null,
        FieldType.Bool => text is "true" or "false" ? null : "must be true or false",
        FieldType.Double or FieldType.Float => IsFiniteNumber(text) ? null : Rules.Number,
        FieldType.Int32 or FieldType.SInt32 or FieldType.SFixed32 =>
            int.TryParse(text, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out _) ? null : Rules.Int32,
        FieldType.UInt32 or FieldType.Fixed32 =>
            uint.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out _) ? null : Rules.UInt32,
        FieldType.Int64 or FieldType.SInt64 or FieldType.SFixed64 =>
            long.TryParse(text, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out _) ? null : Rules.Int64,
        FieldType.UInt64 or FieldType.Fixed64 =>
            ulong.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out _) ? null : Rules.UInt64,
        FieldType.Enum => field.EnumType.FindValueByName(text) is null ? Rules.Enum(field.EnumType) : null,
        FieldType.Bytes => Base64().IsMatch(text) ? null : "must be base64",
        FieldType.Message => WellKnownBroken(field.MessageType, JsonText(text)),
        _ => "cannot be given as text",
    };

    /// <summary>The rule that JSON breaks for a message of google.protobuf with a JSON form of its own, or null.</summary>
    public static string? WellKnownBroken(MessageDescriptor type, string json)
    {
        try
        {
            JsonParser.Default.Parse(json, type);
            return null;
        }
        catch (Exception exception) when (exception is InvalidProtocolBufferException or InvalidJsonException
            or ArgumentException or FormatException or OverflowException)
        {
            return type.Name switch
            {
                "Timestamp" => "must be a time of RFC 3339 between years 1 and 9999, such as \"2026-01-31T08:00:00Z\"",
                "Duration" => "must be seconds with the letter s, such as \"3.5s\"",
                "FieldMask" => "must be field names joined by commas, such as \"displayName,costs\"",
                _ => $"must be the JSON form of {type.FullName}",
            };
        }
    }

    private static bool IsFiniteNumber(string text) =>
        JsonNumber().IsMatch(text)
        && double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value)
        && double.IsFinite(value);

    private static string JsonText(string text) => System.Text.Json.JsonSerializer.Serialize(text, JsonStrings.Default.String);

    [GeneratedRegex(@"^-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?$", RegexOptions.CultureInvariant)]
    private static partial Regex JsonNumber();

    [GeneratedRegex("^[A-Za-z0-9+/_-]*={0,2}$", RegexOptions.CultureInvariant)]
    private static partial Regex Base64();

    /// <summary>The rules in words.</summary>
    internal static class Rules
    {
        public const string Number = "must be a finite number";
        public const string Int32 = "must be a whole number between -2147483648 and 2147483647, without fraction or exponent";
        public const string UInt32 = "must be a whole number between 0 and 4294967295, without fraction or exponent";
        public const string Int64 = "must be a whole number of 64 bits, without fraction or exponent; best given as a string";
        public const string UInt64 = "must be a whole number of 64 bits, 0 or more, without fraction or exponent; best given as a string";

        public static string Enum(EnumDescriptor type) =>
            "must be one of " + string.Join(", ", type.Values.Select(value => value.Name));
    }
}
