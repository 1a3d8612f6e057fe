using System.Globalization;
using Npgsql;

namespace Reliability.Store;

/// <summary>The conditions of a query, each with its parameter.</summary>
internal sealed class QueryConditions
{
    private readonly List<string> _conditions = [];

    public QueryConditions(string organisation) => Add("organisation = {0}", organisation);

    public List<NpgsqlParameter> Parameters { get; } = [];

    /// <summary>All conditions, joined by "and".</summary>
    public string Sql => string.Join(" and ", _conditions);

    /// <summary>Adds a condition without a parameter.</summary>
    public void Add(string condition) => _conditions.Add(condition);

    /// <summary>Adds a condition; {0} in it stands for the value.</summary>
    public void Add<T>(string condition, T value)
    {
        Parameters.Add(new NpgsqlParameter<T> { TypedValue = value });
        _conditions.Add(string.Format(CultureInfo.InvariantCulture, condition, $"${Parameters.Count}"));
    }

    /// <summary>Adds a condition when there is a value.</summary>
    public void AddIf(string condition, string? value)
    {
        if (value is not null) Add(condition, value);
    }

    /// <summary>Adds a condition when any value is asked for.</summary>
    public void AddAny<T>(string column, IReadOnlyList<T> values)
    {
        if (values.Count > 0) Add($"{column} = any({{0}})", values.ToArray());
    }
}
