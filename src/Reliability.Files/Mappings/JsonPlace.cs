using System.Text.Json;

namespace Reliability.Files.Mappings;

/// <summary>A place in a JSON document, with its path, that tells what is wrong there.</summary>
internal sealed class JsonPlace(JsonElement element, string path, List<FileProblem> problems)
{
    /// <summary>Such as <c>rows[2].events[0]</c>; empty for the document.</summary>
    public string Path => path;

    /// <summary>Whether an object stands here.</summary>
    public bool IsObject => element.ValueKind == JsonValueKind.Object;

    /// <summary>Whether a text stands here.</summary>
    public bool IsText => element.ValueKind == JsonValueKind.String;

    /// <summary>Whether null stands here.</summary>
    public bool IsNull => element.ValueKind == JsonValueKind.Null;

    /// <summary>Notes what is wrong here.</summary>
    public void Refuse(string rule) => problems.Add(new FileProblem(path, rule));

    /// <summary>The members of an object whose names are given; others are refused, and so is anything but an object.</summary>
    public IReadOnlyDictionary<string, JsonPlace> Members(params string[] known)
    {
        IReadOnlyDictionary<string, JsonPlace> members = Members();
        foreach ((string name, JsonPlace place) in members.Where(member => !known.Contains(member.Key)))
            place.Refuse($"is not known here{NearestNames.Hint(name, known)} It may have: {string.Join(", ", known)}");
        return members;
    }

    /// <summary>The members of an object, whatever their names.</summary>
    public IReadOnlyDictionary<string, JsonPlace> Members()
    {
        Dictionary<string, JsonPlace> members = [];
        if (!IsObject)
        {
            Refuse("must be a JSON object");
            return members;
        }
        foreach (JsonProperty member in element.EnumerateObject())
        {
            string inside = path.Length == 0 ? Quoted.Plain(member.Name) : $"{path}.{Quoted.Plain(member.Name)}";
            JsonPlace place = new(member.Value, inside, problems);
            if (!members.TryAdd(member.Name, place))
                place.Refuse("is given twice");
        }
        return members;
    }

    /// <summary>The items of a list; anything but a list is refused.</summary>
    public IReadOnlyList<JsonPlace> Items()
    {
        if (element.ValueKind == JsonValueKind.Array)
            return [.. element.EnumerateArray().Select((item, i) => new JsonPlace(item, $"{path}[{i}]", problems))];
        Refuse("must be a list");
        return [];
    }

    /// <summary>A text; anything else is refused.</summary>
    public string Text()
    {
        if (IsText)
            return element.GetString()!;
        Refuse("must be a text in quotation marks");
        return "";
    }

    /// <summary>A text that is not empty; anything else is refused.</summary>
    public string FilledText()
    {
        string text = Text();
        if (IsText && string.IsNullOrWhiteSpace(text))
            Refuse("must not be empty");
        return text;
    }

    /// <summary>One of some words; anything else is refused.</summary>
    public string OneOf(params string[] words)
    {
        string text = Text();
        if (IsText && !words.Contains(text))
            Refuse($"must be one of {string.Join(", ", words.Select(Quoted.Of))}{NearestNames.Hint(text, words)}");
        return text;
    }

    /// <summary>True or false; anything else is refused.</summary>
    public bool Flag()
    {
        if (element.ValueKind is not (JsonValueKind.True or JsonValueKind.False))
            Refuse("must be true or false");
        return element.ValueKind == JsonValueKind.True;
    }
}
