using Google.Protobuf.Reflection;
using Microsoft.Extensions.Primitives;
using Reliability.Files.Json;
using Reliability.Service.Errors;

namespace Reliability.Service.Json;

/// <summary>
/// Holds query parameters to the request type: the transcoder ignores unknown ones and takes anything for an enum.
/// </summary>
internal sealed class QueryWalker(Violations violations)
{
    /// <summary>Checks one parameter.</summary>
    /// <param name="name">Its name, such as <c>cohort.moduleModels</c>.</param>
    /// <param name="values">Its values.</param>
    /// <param name="request">The request type.</param>
    /// <param name="taken">Paths (in proto names) that the URL path or the body fill already.</param>
    /// <returns>The field it ends at, or null when there is none.</returns>
    public FieldDescriptor? Check(string name, StringValues values, MessageDescriptor request, IReadOnlySet<string> taken)
    {
        var type = request;
        var path = new FieldPath();
        FieldDescriptor? field = null;
        var parts = name.Split('.');
        for (var i = 0; i < parts.Length; i++)
        {
            field = FieldNames.Find(type, parts[i]);
            path.Enter(field?.Name ?? parts[i]);
            if (field is null)
            {
                violations.Add(path.ToString(), "is not a field of " + type.Name);
                return null;
            }

            if (taken.Contains(path.ToString()))
            {
                violations.Add(path.ToString(), "must not be a query parameter here: the path or the body holds it");
                return null;
            }

            if (i == parts.Length - 1)
                break;
            if (field.FieldType != FieldType.Message || field.IsRepeated || IsWellKnown(field.MessageType))
            {
                violations.Add(path.ToString(), "has no fields of its own");
                return null;
            }

            type = field.MessageType;
        }

        CheckValues(field!, values, path);
        return field;
    }

    private void CheckValues(FieldDescriptor field, StringValues values, FieldPath path)
    {
        if (field.IsMap || (field.FieldType == FieldType.Message && !IsWellKnown(field.MessageType)))
        {
            violations.Add(path.ToString(), "cannot be given as a query parameter by itself");
            return;
        }

        if (!field.IsRepeated && values.Count > 1)
        {
            violations.Add(path.ToString(), "is given twice");
            return;
        }

        for (var i = 0; i < values.Count; i++)
        {
            if (ScalarText.Broken(field, values[i] ?? string.Empty) is not { } rule)
                continue;
            if (field.IsRepeated)
                path.EnterIndex(i);
            violations.Add(path.ToString(), rule);
            if (field.IsRepeated)
                path.Leave();
        }
    }

    private static bool IsWellKnown(MessageDescriptor type) => type.File.Package == "google.protobuf";
}
