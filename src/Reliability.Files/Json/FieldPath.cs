using System.Globalization;
using System.Text;

namespace Reliability.Files.Json;

/// <summary>Where a walk stands in a message. Text is made only when something is wrong.</summary>
public sealed class FieldPath
{
    private const int MaxNameLength = 100;

    private readonly List<(string? Name, int Index)> _steps = [];

    /// <summary>Starts at a path, or at the message itself when empty.</summary>
    public FieldPath(string root = "")
    {
        if (root.Length > 0)
            _steps.Add((root, 0));
    }

    /// <summary>Goes into a field.</summary>
    public void Enter(string name) => _steps.Add((name, -1));

    /// <summary>Goes into an item of a list.</summary>
    public void EnterIndex(int index) => _steps.Add((null, index));

    /// <summary>Goes into an entry of a map.</summary>
    public void EnterKey(string key) => _steps.Add((key, -2));

    /// <summary>Goes back.</summary>
    public void Leave() => _steps.RemoveAt(_steps.Count - 1);

    /// <inheritdoc />
    public override string ToString()
    {
        var text = new StringBuilder();
        foreach (var (name, index) in _steps)
        {
            if (name is null)
            {
                text.Append('[').Append(index.ToString(CultureInfo.InvariantCulture)).Append(']');
            }
            else if (index == -2)
            {
                text.Append('[').Append(Printable(name)).Append(']');
            }
            else
            {
                if (text.Length > 0)
                    text.Append('.');
                text.Append(Printable(name));
            }
        }

        return text.ToString();
    }

    /// <summary>A caller's text made fit to be sent back: short, without control characters.</summary>
    public static string Printable(string text)
    {
        var shown = text.Length <= MaxNameLength ? text : text[..MaxNameLength] + "...";
        return string.Create(shown.Length, shown, static (span, source) =>
        {
            for (var i = 0; i < span.Length; i++)
                span[i] = char.IsControl(source[i]) || char.IsSurrogate(source[i]) ? '?' : source[i];
        });
    }
}
