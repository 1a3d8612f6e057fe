using System.Text.Json;
using Google.Protobuf.Reflection;

namespace Reliability.Files.Json;

/// <summary>
/// Holds JSON to a message type before protobuf's own parser sees it. That one drops unknown fields where it is told to,
/// takes the last of doubled ones, lets enum numbers and infinities through and gives no path; here each is a violation
/// with its path in proto names.
/// </summary>
/// <param name="refuse">Gets the path and the rule of each violation.</param>
/// <param name="path">Where the walk begins.</param>
public sealed class JsonBodyWalker(Action<string, string> refuse, FieldPath path)
{
    /// <summary>Checks an object against a message type.</summary>
    public void Message(JsonElement json, MessageDescriptor type)
    {
        if (IsWellKnown(type))
        {
            if (ScalarText.WellKnownBroken(type, json.GetRawText()) is { } rule)
                Refuse(rule);
            return;
        }

        if (json.ValueKind != JsonValueKind.Object)
        {
            Refuse("must be a JSON object");
            return;
        }

        Span<bool> seen = stackalloc bool[type.Fields.InDeclarationOrder().Count];
        Span<bool> oneofs = stackalloc bool[type.Oneofs.Count];
        foreach (var property in json.EnumerateObject())
        {
            var name = property.Name;
            if (FieldNames.Find(type, name) is not { } field)
            {
                path.Enter(name);
                Refuse("is not a field of " + type.Name);
                path.Leave();
                continue;
            }

            path.Enter(field.Name);
            if (seen[field.Index])
                Refuse("is given twice");
            seen[field.Index] = true;
            if (property.Value.ValueKind != JsonValueKind.Null)
            {
                if (field.RealContainingOneof is { } oneof)
                {
                    if (oneofs[oneof.Index])
                        Refuse($"excludes the other fields of {oneof.Name}, and one of them is given");
                    oneofs[oneof.Index] = true;
                }

                Field(property.Value, field);
            }

            path.Leave();
        }
    }

    private void Field(JsonElement json, FieldDescriptor field)
    {
        if (field.IsMap)
        {
            Map(json, field);
        }
        else if (field.IsRepeated)
        {
            if (json.ValueKind != JsonValueKind.Array)
            {
                Refuse("must be a JSON array");
                return;
            }

            var index = 0;
            foreach (var item in json.EnumerateArray())
            {
                path.EnterIndex(index++);
                Value(item, field);
                path.Leave();
            }
        }
        else
        {
            Value(json, field);
        }
    }

    private void Map(JsonElement json, FieldDescriptor field)
    {
        if (json.ValueKind != JsonValueKind.Object)
        {
            Refuse("must be a JSON object");
            return;
        }

        var key = field.MessageType.FindFieldByNumber(1);
        var value = field.MessageType.FindFieldByNumber(2);
        var seen = new HashSet<string>(StringComparer.Ordinal);
        foreach (var property in json.EnumerateObject())
        {
            path.EnterKey(property.Name);
            if (!seen.Add(property.Name))
                Refuse("is given twice");
            if (ScalarText.Broken(key, property.Name) is { } rule)
                Refuse("has a key that " + rule);
            Value(property.Value, value);
            path.Leave();
        }
    }

    private void Value(JsonElement json, FieldDescriptor field)
    {
        if (field.FieldType is FieldType.Message)
        {
            Message(json, field.MessageType);
            return;
        }

        var rule = json.ValueKind switch
        {
            JsonValueKind.String when field.FieldType is not FieldType.Bool => ScalarText.Broken(field, json.GetString()!),
            JsonValueKind.Number => NumberBroken(json, field),
            JsonValueKind.True or JsonValueKind.False when field.FieldType is FieldType.Bool => null,
            _ => Expected(field),
        };
        if (rule is not null)
            Refuse(rule);
    }

    private static string? NumberBroken(JsonElement json, FieldDescriptor field) => field.FieldType switch
    {
        FieldType.Double => json.TryGetDouble(out var value) && double.IsFinite(value) ? null : ScalarText.Rules.Number,
        FieldType.Float => json.TryGetSingle(out var value) && float.IsFinite(value) ? null : ScalarText.Rules.Number,
        FieldType.Enum => json.TryGetInt32(out var number) && field.EnumType.FindValueByNumber(number) is not null
            ? null : ScalarText.Rules.Enum(field.EnumType),
        FieldType.String or FieldType.Bytes or FieldType.Bool => Expected(field),
        _ => ScalarText.Broken(field, json.GetRawText()),
    };

    private static string Expected(FieldDescriptor field) => field.FieldType switch
    {
        FieldType.String => "must be a JSON string",
        FieldType.Bytes => "must be a JSON string of base64",
        FieldType.Bool => "must be true or false",
        FieldType.Enum => ScalarText.Rules.Enum(field.EnumType),
        FieldType.Double or FieldType.Float => ScalarText.Rules.Number,
        FieldType.Int64 or FieldType.SInt64 or FieldType.SFixed64 => ScalarText.Rules.Int64,
        FieldType.UInt64 or FieldType.Fixed64 => ScalarText.Rules.UInt64,
        FieldType.UInt32 or FieldType.Fixed32 => ScalarText.Rules.UInt32,
        _ => ScalarText.Rules.Int32,
    };

    private static bool IsWellKnown(MessageDescriptor type) => type.File.Package == "google.protobuf";

    private void Refuse(string rule) => refuse(path.ToString(), rule);
}
